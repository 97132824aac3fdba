# One static library per room, the same warnings for all, and the flags that keep numbers equal on every machine.

option(STEELYARD_WERROR "Treat warnings as errors (presets switch it on; never forced on a user's build)" OFF)

add_library(steelyard_warnings INTERFACE)
target_compile_options(steelyard_warnings INTERFACE
  -Wall -Wextra -Wpedantic -Wconversion -Wsign-conversion -Wshadow -Wdouble-promotion -Wold-style-cast -Wnull-dereference
  -Wno-missing-field-initializers  # a designated initialiser leaves the other members at their defaults, on purpose
  # The release preset leaves this off: g++ 12 sees null pointers and overlaps inside libstdc++ when it optimises.
  $<$<BOOL:${STEELYARD_WERROR}>:-Werror>)

add_library(steelyard_options INTERFACE)
target_compile_options(steelyard_options INTERFACE -ffp-contract=off)
target_include_directories(steelyard_options INTERFACE ${PROJECT_SOURCE_DIR}/include)

# steelyard_room(NAME SOURCES a.cpp ... [USES room ...] [PRIVATE library ...])
function(steelyard_room name)
  cmake_parse_arguments(ROOM "" "" "SOURCES;USES;PRIVATE" ${ARGN})
  add_library(steelyard_${name} STATIC ${ROOM_SOURCES})
  add_library(steelyard::${name} ALIAS steelyard_${name})
  target_include_directories(steelyard_${name} PRIVATE ${PROJECT_SOURCE_DIR}/src)
  target_link_libraries(steelyard_${name} PUBLIC steelyard_options PRIVATE steelyard_warnings)
  foreach(used IN LISTS ROOM_USES)
    target_link_libraries(steelyard_${name} PUBLIC steelyard::${used})
  endforeach()
  target_link_libraries(steelyard_${name} PRIVATE ${ROOM_PRIVATE})
  file(GLOB headers CONFIGURE_DEPENDS ${PROJECT_SOURCE_DIR}/include/steelyard/${name}/*.hpp)
  target_sources(steelyard_${name} PUBLIC FILE_SET HEADERS BASE_DIRS ${PROJECT_SOURCE_DIR}/include FILES ${headers})
endfunction()
