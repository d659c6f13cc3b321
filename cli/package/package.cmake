# SPDX-License-Identifier: GPL-3.0-or-later
# cmake --build BUILD --target package makes saltwright_VERSION-1_ARCH.deb:
# command, library, headers, manual, examples; dependencies by dpkg-shlibdeps.
set(here ${CMAKE_CURRENT_LIST_DIR})

set(CPACK_GENERATOR DEB)
set(CPACK_PACKAGE_NAME saltwright)
set(CPACK_PACKAGE_VERSION ${PROJECT_VERSION})
set(CPACK_PACKAGE_DESCRIPTION_SUMMARY
  "nutrient solutions for hydroponics, calculated for the source water")
set(CPACK_DEBIAN_PACKAGE_DESCRIPTION
  "Turns a crop's nutrient targets, a laboratory analysis of the source water
and the fertilisers on the shelf into weights for the scale: subtracts what
the water brings, neutralises its alkalinity, finds the closest mixture with
a proof, and judges the finished solution, its pH, EC and what may
precipitate, in the reservoir and in stock tanks.
.
This package holds the command and the C library it is a client of.")
# Nobody's address: whoever distributes the package names himself with
# -DCPACK_PACKAGE_CONTACT=...
if(NOT CPACK_PACKAGE_CONTACT)
  set(CPACK_PACKAGE_CONTACT "Saltwright contributors <saltwright@example.org>")
endif()
set(CPACK_DEBIAN_FILE_NAME DEB-DEFAULT)
set(CPACK_DEBIAN_PACKAGE_RELEASE 1)
set(CPACK_DEBIAN_PACKAGE_SECTION science)
set(CPACK_DEBIAN_PACKAGE_PRIORITY optional)
set(CPACK_DEBIAN_PACKAGE_SHLIBDEPS ON)
set(CPACK_DEBIAN_PACKAGE_SHLIBDEPS_PRIVATE_DIRS ${PROJECT_BINARY_DIR}/lib)
# What is linked with the library depends on it at this version or later, and the loader's
# cache is brought up to date by its trigger, without scripts.
set(control ${PROJECT_BINARY_DIR}/debian)
file(WRITE ${control}/shlibs "libsaltwright "
  "${PROJECT_VERSION_MAJOR}.${PROJECT_VERSION_MINOR} "
  "saltwright (>= ${PROJECT_VERSION})\n")
file(WRITE ${control}/triggers "activate-noawait ldconfig\n")
set(CPACK_DEBIAN_PACKAGE_CONTROL_EXTRA ${control}/shlibs ${control}/triggers)
set(CPACK_DEBIAN_PACKAGE_CONTROL_STRICT_PERMISSION TRUE)
set(CPACK_DEBIAN_PACKAGE_SUGGESTS "libc6-dev, pkg-config")
set(CPACK_STRIP_FILES ON)
set(CPACK_PACKAGING_INSTALL_PREFIX /usr)
set(CPACK_INSTALL_DEFAULT_DIRECTORY_PERMISSIONS OWNER_READ OWNER_WRITE
  OWNER_EXECUTE GROUP_READ GROUP_EXECUTE WORLD_READ WORLD_EXECUTE)

# What only a package needs is done to its tree: see the script.
set(CPACK_SW_COPYRIGHT ${here}/copyright)
set(CPACK_PRE_BUILD_SCRIPTS ${here}/finish.cmake)
include(CPack)
