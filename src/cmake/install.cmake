# Where things are installed. STEELYARD_PACKAGE makes what a Debian package needs: nothing of the source folder's path
# in the program, unit and settings in the system's own folders, a static user, compressed manual pages.

option(STEELYARD_PACKAGE "Build for the Debian package; needs CMAKE_INSTALL_PREFIX=/usr" OFF)
if(STEELYARD_PACKAGE)
  set(STEELYARD_UNIT_DIR /lib/systemd/system)
  set(STEELYARD_UNIT_USER "User=steelyard\nGroup=steelyard")
else()
  set(STEELYARD_UNIT_DIR lib/systemd/system)
  set(STEELYARD_UNIT_USER "DynamicUser=yes")
endif()

# steelyard_install_page(FILE FOLDER): a text that Debian wants compressed. FILE may be made at build.
function(steelyard_install_page file folder)
  if(NOT STEELYARD_PACKAGE)
    install(FILES ${file} DESTINATION ${folder} COMPONENT runtime)
    return()
  endif()
  get_filename_component(name ${file} NAME)
  set(packed ${PROJECT_BINARY_DIR}/packed/${name}.gz)
  add_custom_command(OUTPUT ${packed} COMMAND sh -c "gzip -9nc '${file}' >'${packed}'" DEPENDS ${file} VERBATIM)
  string(MAKE_C_IDENTIFIER packed_${name} target)
  add_custom_target(${target} ALL DEPENDS ${packed})
  install(FILES ${packed} DESTINATION ${folder} COMPONENT runtime)
endfunction()
file(MAKE_DIRECTORY ${PROJECT_BINARY_DIR}/packed)
