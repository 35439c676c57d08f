#!/bin/sh
# Fills deploy/wheels with castclock and all it needs, in the versions of the lock, so that the image
# is built without a network. For the Python and the kind of machine that this runs on: Python 3.11.
#
#   sh deploy/wheels.sh && docker build --network none -f deploy/Containerfile .
set -eu
cd "$(dirname "$0")/.."
rm -rf deploy/wheels
exec "${PYTHON:-python3.11}" -m pip wheel --quiet --constraint requirements.lock \
    --wheel-dir deploy/wheels '.[mqtt]'
