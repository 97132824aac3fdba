# One static library per room, the same warnings for all, and the flags that keep numbers equal on every machine.

option(STEELYARD_WERROR "Treat warnings as errors (presets switch it on; never forced on a user's build)" OFF)

add_library(steelyard_warnings INTERFACE)
target_compile_options(steelyard_warnings INTERFACE
  -Wall -Wextra -Wpedantic -Wconversion -Wsign-conversion -Wshadow -Wdouble-promotion -Wold-style-cast -Wnull-dereference
  -Wno-missing-field-initializers  # a designated initialiser leaves the other members at their defaults, on purpose
  # The release preset leaves this off: g++ 12 sees null pointers and overlaps inside libstdc++ when it optimises.
  $<$<BOOL:${STEELYARD_WERROR}>:-Werror>)

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
  file(GLOB headers CONFIGURE_DEPENDS ${PROJECT_SOURCE_DIR}/include/steelyard/${name}/*.hpp)
  target_sources(steelyard_${name} PUBLIC FILE_SET HEADERS BASE_DIRS ${PROJECT_SOURCE_DIR}/include FILES ${headers})
  set_target_properties(steelyard_${name} PROPERTIES EXPORT_NAME ${name})
  install(TARGETS steelyard_${name} EXPORT steelyardTargets
          ARCHIVE DESTINATION ${CMAKE_INSTALL_LIBDIR} COMPONENT devel
          FILE_SET HEADERS DESTINATION ${CMAKE_INSTALL_INCLUDEDIR} COMPONENT devel)
endfunction()
