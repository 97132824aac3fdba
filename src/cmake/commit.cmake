# Writes OUT, a header with the commit that is built; "-changed" behind it when the tree differs from it. Run at every
# build, but OUT is only touched when it changes. STEELYARD_COMMIT says it where there is no repository.
set(commit "$ENV{STEELYARD_COMMIT}")
if(NOT commit)
  execute_process(COMMAND git -C ${ROOT} describe --always --dirty=-changed --abbrev=12 --exclude=*
                  OUTPUT_VARIABLE commit OUTPUT_STRIP_TRAILING_WHITESPACE ERROR_QUIET)
endif()
if(NOT commit)
  set(commit "unknown")
endif()
file(CONFIGURE OUTPUT ${OUT} CONTENT "#pragma once
#include <string_view>

namespace steelyard::cli {

inline constexpr std::string_view k_commit = \"${commit}\";

}  // namespace steelyard::cli
" @ONLY)
