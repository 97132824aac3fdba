#!/bin/sh
# dpkg-shlibdeps for CPack. libpq serves a module that is loaded for a server's address only: recommended, not needed.
exec dpkg-shlibdeps -xlibpq5 "$@"
