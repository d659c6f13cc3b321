# SPDX-License-Identifier: GPL-3.0-or-later
# Installs the library so that both CMake's find_package(saltwright) and
# pkg-config find it.  The installed tree may be moved: paths are relative.
include(CMakePackageConfigHelpers)

set(SW_PACKAGE_DIR ${CMAKE_INSTALL_LIBDIR}/cmake/saltwright)
set(SW_PKGCONFIG_DIR ${CMAKE_INSTALL_LIBDIR}/pkgconfig)

# From saltwright.pc back to the prefix.
file(RELATIVE_PATH SW_PC_TO_PREFIX /prefix/${SW_PKGCONFIG_DIR} /prefix)
string(REGEX REPLACE "/$" "" SW_PC_TO_PREFIX "${SW_PC_TO_PREFIX}")

configure_package_config_file(saltwright-config.cmake.in
  ${CMAKE_CURRENT_BINARY_DIR}/saltwright-config.cmake
  INSTALL_DESTINATION ${SW_PACKAGE_DIR})
write_basic_package_version_file(
  ${CMAKE_CURRENT_BINARY_DIR}/saltwright-config-version.cmake
  COMPATIBILITY SameMinorVersion)
configure_file(saltwright.pc.in ${CMAKE_CURRENT_BINARY_DIR}/saltwright.pc
  @ONLY)

install(TARGETS saltwright EXPORT saltwright-targets
  LIBRARY DESTINATION ${CMAKE_INSTALL_LIBDIR}
  ARCHIVE DESTINATION ${CMAKE_INSTALL_LIBDIR}
  PUBLIC_HEADER DESTINATION ${CMAKE_INSTALL_INCLUDEDIR})
install(EXPORT saltwright-targets NAMESPACE saltwright::
  DESTINATION ${SW_PACKAGE_DIR})
install(FILES ${CMAKE_CURRENT_BINARY_DIR}/saltwright-config.cmake
  ${CMAKE_CURRENT_BINARY_DIR}/saltwright-config-version.cmake
  DESTINATION ${SW_PACKAGE_DIR})
install(FILES COPYING DESTINATION ${CMAKE_INSTALL_DOCDIR})
install(FILES ${CMAKE_CURRENT_BINARY_DIR}/saltwright.pc
  DESTINATION ${SW_PKGCONFIG_DIR})
