# One static library per room, the same warnings for all, and the flags that keep numbers equal on every machine.

option(STEELYARD_WERROR "Treat warnings as errors (presets switch it on; never forced on a user's build)" OFF)

add_library(steelyard_warnings INTERFACE)
target_compile_options(steelyard_warnings INTERFACE
  -Wall -Wextra -Wpedantic -Wconversion -Wsign-conversion -Wshadow -Wdouble-promotion -Wold-style-cast -Wnull-dereference
  -Wno-missing-field-initializers  # a designated initialiser leaves the other members at their defaults, on purpose
  $<$<BOOL:${STEELYARD_WERROR}>:-Werror>
  # When it optimises, g++ 12 sees null pointers, overlaps and overflows inside libstdc++ and Boost.
  $<$<CONFIG:Release>:-Wno-null-dereference;-Wno-restrict;-Wno-stringop-overflow;-Wno-stringop-overread;-Wno-array-bounds;-Wno-maybe-uninitialized>)

add_library(steelyard_options INTERFACE)
# A release has the same bytes wherever it is built.
target_compile_options(steelyard_options INTERFACE -ffp-contract=off
  $<BUILD_INTERFACE:$<$<CONFIG:Release>:-ffile-prefix-map=${PROJECT_BINARY_DIR}/=>>
  $<BUILD_INTERFACE:$<$<CONFIG:Release>:-ffile-prefix-map=${PROJECT_SOURCE_DIR}/=>>)
target_include_directories(steelyard_options INTERFACE $<BUILD_INTERFACE:${PROJECT_SOURCE_DIR}/include>)
set_target_properties(steelyard_options PROPERTIES EXPORT_NAME options)
install(TARGETS steelyard_options EXPORT steelyardTargets)
set(CMAKE_CXX_ARCHIVE_CREATE "<CMAKE_AR> qcD <TARGET> <LINK_FLAGS> <OBJECTS>")
set(CMAKE_CXX_ARCHIVE_FINISH "<CMAKE_RANLIB> -D <TARGET>")

# The headers that nearly every file includes are parsed once: half of a first build's time is theirs. A build without them
# (presets "package" and "coverage", STEELYARD_SHARED_HEADERS=OFF) shows that each file names what it needs.
option(STEELYARD_SHARED_HEADERS "Parse the headers that every file includes once" ON)
# steelyard_shared_headers(SET [HEADER ...]): makes a set; further headers beside those of all.
function(steelyard_shared_headers set)
  if(STEELYARD_SHARED_HEADERS)
    file(CONFIGURE OUTPUT ${CMAKE_CURRENT_BINARY_DIR}/${set}.cpp CONTENT "")
    add_library(${set} OBJECT ${CMAKE_CURRENT_BINARY_DIR}/${set}.cpp)
    target_link_libraries(${set} PRIVATE steelyard_options steelyard_warnings fmt::fmt)
    target_precompile_headers(${set} PRIVATE
      <algorithm> <array> <chrono> <cmath> <functional> <map> <memory> <optional> <set> <span> <string> <string_view>
      <unordered_map> <variant> <vector> <fmt/core.h> <tl/expected.hpp> ${ARGN})
  endif()
endfunction()
steelyard_shared_headers(steelyard_headers)
# steelyard_share_headers(TARGET SET)
function(steelyard_share_headers target set)
  if(STEELYARD_SHARED_HEADERS)
    target_precompile_headers(${target} REUSE_FROM ${set})
  endif()
endfunction()

# steelyard_room(NAME SOURCES a.cpp ... [USES room ...] [PRIVATE library ...])
function(steelyard_room name)
  cmake_parse_arguments(ROOM "" "" "SOURCES;USES;PRIVATE" ${ARGN})
  add_library(steelyard_${name} STATIC ${ROOM_SOURCES})
  add_library(steelyard::${name} ALIAS steelyard_${name})
  target_include_directories(steelyard_${name} PRIVATE ${PROJECT_SOURCE_DIR}/src)
  target_link_libraries(steelyard_${name} PUBLIC steelyard_options PRIVATE $<BUILD_INTERFACE:steelyard_warnings>)
  foreach(used IN LISTS ROOM_USES)
    target_link_libraries(steelyard_${name} PUBLIC steelyard::${used})
  endforeach()
  target_link_libraries(steelyard_${name} PRIVATE ${ROOM_PRIVATE})
  steelyard_share_headers(steelyard_${name} steelyard_headers)
  file(GLOB headers CONFIGURE_DEPENDS ${PROJECT_SOURCE_DIR}/include/steelyard/${name}/*.hpp)
  target_sources(steelyard_${name} PUBLIC FILE_SET HEADERS BASE_DIRS ${PROJECT_SOURCE_DIR}/include FILES ${headers})
  set_target_properties(steelyard_${name} PROPERTIES EXPORT_NAME ${name})
  install(TARGETS steelyard_${name} EXPORT steelyardTargets
          ARCHIVE DESTINATION ${CMAKE_INSTALL_LIBDIR} COMPONENT devel
          FILE_SET HEADERS DESTINATION ${CMAKE_INSTALL_INCLUDEDIR} COMPONENT devel)
endfunction()
