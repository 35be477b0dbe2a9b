# What `cmake --install` puts where, and the .deb that CPack makes of it.
include(GNUInstallDirs)
set(packaging ${PROJECT_SOURCE_DIR}/scripts/package)
set(made ${PROJECT_BINARY_DIR}/packaging)

install(TARGETS armwise RUNTIME DESTINATION ${CMAKE_INSTALL_BINDIR})
install(DIRECTORY ${PROJECT_SOURCE_DIR}/fixtures/profiles DESTINATION ${CMAKE_INSTALL_DATADIR}/armwise
        FILES_MATCHING PATTERN "*.json")
# Not below the prefix's etc: udev reads /usr/lib/udev/rules.d.
install(FILES ${packaging}/70-armwise.rules DESTINATION lib/udev/rules.d)

# The completions are made of the command tree, by the program itself.
set(completions)
foreach(shell bash zsh fish)
  add_custom_command(OUTPUT ${made}/completion.${shell}
                     COMMAND ${CMAKE_COMMAND} -E make_directory ${made}
                     COMMAND armwise completion ${shell} > ${made}/completion.${shell}
                     DEPENDS armwise VERBATIM)
  list(APPEND completions ${made}/completion.${shell})
endforeach()
add_custom_target(armwise_completions ALL DEPENDS ${completions})
install(FILES ${made}/completion.bash DESTINATION ${CMAKE_INSTALL_DATADIR}/bash-completion/completions RENAME armwise)
install(FILES ${made}/completion.zsh DESTINATION ${CMAKE_INSTALL_DATADIR}/zsh/vendor-completions RENAME _armwise)
install(FILES ${made}/completion.fish DESTINATION ${CMAKE_INSTALL_DATADIR}/fish/vendor_completions.d
        RENAME armwise.fish)

# gzip -n: no time stamp, so that the same source makes the same package.
find_program(SCDOC scdoc)
if(SCDOC)
  set(manuals)
  foreach(manual armwise.1 armwise-machine.5 armwise-teach.7 armwise-messages.7)
    string(REGEX REPLACE ".*[.]" "" section ${manual})
    add_custom_command(OUTPUT ${made}/${manual}.gz
                       COMMAND ${CMAKE_COMMAND} -E make_directory ${made}
                       COMMAND ${SCDOC} < ${packaging}/${manual}.scd > ${made}/${manual}
                       COMMAND gzip -9nkf ${made}/${manual}
                       DEPENDS ${packaging}/${manual}.scd VERBATIM)
    install(FILES ${made}/${manual}.gz DESTINATION ${CMAKE_INSTALL_MANDIR}/man${section})
    list(APPEND manuals ${made}/${manual}.gz)
  endforeach()
  add_custom_target(armwise_manual ALL DEPENDS ${manuals})
else()
  message(STATUS "scdoc is not installed: no manual page is made")
endif()
add_custom_command(OUTPUT ${made}/changelog.gz
                   COMMAND ${CMAKE_COMMAND} -E make_directory ${made}
                   COMMAND gzip -9nc ${packaging}/changelog > ${made}/changelog.gz
                   DEPENDS ${packaging}/changelog VERBATIM)
add_custom_target(armwise_changelog ALL DEPENDS ${made}/changelog.gz)
install(FILES ${made}/changelog.gz ${packaging}/copyright DESTINATION ${CMAKE_INSTALL_DATADIR}/doc/armwise)

set(CPACK_GENERATOR DEB)
set(CPACK_PACKAGE_NAME armwise)
set(CPACK_PACKAGE_CONTACT "armwise authors <armwise@armwise.invalid>")
set(CPACK_PACKAGE_DESCRIPTION_SUMMARY "bench companion for multirotors: which arm, which way")
set(CPACK_PACKAGE_DESCRIPTION
"Plugged into a flight controller over USB, propellers off, armwise finds out
which motor sits on which arm and which way each one turns, works out the
settings that make it right, proves them arm by arm, keeps them, and writes a
record from which it can print a build sheet and do the same again.
.
It is tied to no firmware: a profile says how a controller's console is
spoken. A simulated craft is included, so everything can be rehearsed.")
set(CPACK_PACKAGING_INSTALL_PREFIX /usr)
set(CPACK_STRIP_FILES ON)
set(CPACK_INSTALL_DEFAULT_DIRECTORY_PERMISSIONS OWNER_READ OWNER_WRITE OWNER_EXECUTE GROUP_READ GROUP_EXECUTE
                                                WORLD_READ WORLD_EXECUTE)
set(CPACK_DEBIAN_FILE_NAME DEB-DEFAULT)
set(CPACK_DEBIAN_PACKAGE_SECTION electronics)
set(CPACK_DEBIAN_PACKAGE_SHLIBDEPS ON)
include(CPack)
