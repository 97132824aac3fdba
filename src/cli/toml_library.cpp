// What libtomlplusplus.so holds, as part of the program. source  toml++'s manual, "TOML_IMPLEMENTATION"
#define TOML_HEADER_ONLY 0
#define TOML_IMPLEMENTATION
#include <toml++/toml.h>
