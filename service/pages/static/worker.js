// The worker of every page: what it does lies in a file for each thing it does. Before these lines
// the server writes BUILD, FILES and the names that those files have as they are now.
importScripts(...PARTS);
