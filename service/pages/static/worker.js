// The worker of every page: what it does lies in a file for each thing it does.
importScripts("static/worker_push.js");
