"""The bill of materials against what the program loads. Source of the keys: CycloneDX 1.5, JSON; purl: package-url spec."""
import json
import subprocess
import sys

program, service, path = sys.argv[1:]
bom = json.load(open(path))
assert bom["bomFormat"] == "CycloneDX" and bom["specVersion"] == "1.5", bom
by_name = {component["name"]: component for component in bom["components"]}
assert len(by_name) == len(bom["components"]), "a component twice"
for component in by_name.values():
    assert component["version"] and component["purl"].startswith(("pkg:deb/debian/", "pkg:npm/")), component


def libraries_of(file):
    return subprocess.run(["ldd", file], capture_output=True, text=True, check=True).stdout


loads = libraries_of(service)
for library, package in (("libsqlite3", "libsqlite3-0"), ("libboost_json", "libboost-json1.81.0"),
                         ("libcrypto", "libssl3"), ("libc.so", "libc6"), ("libstdc++", "libstdc++6")):
    assert library in loads, library
    installed = subprocess.run(["dpkg-query", "-W", "-f=${Version}", package], capture_output=True, text=True, check=True)
    assert by_name[package]["version"] == installed.stdout, package
    assert by_name[package]["scope"] == "required", package
assert by_name["libtomlplusplus-dev"]["scope"] == "excluded", "needed to build only"
assert by_name["uplot"]["purl"] == "pkg:npm/uplot@" + by_name["uplot"]["version"], by_name["uplot"]
assert "libcrypto" not in libraries_of(program), "no answer waits for the libraries that only the service needs"
names = {line.split()[0] for line in loads.splitlines()}
assert {line.split()[0] for line in libraries_of(program).splitlines()} <= names, "the service loads whatever the program does"
