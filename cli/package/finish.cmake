# SPDX-License-Identifier: GPL-3.0-or-later
# Run by CPack on the installed tree before it is packed: what Debian's policy
# asks for (chapters 10.9, 12.1, 12.5, 12.7) beyond an ordinary installation.
set(usr ${CPACK_TEMPORARY_INSTALL_DIRECTORY}/usr)
set(doc ${usr}/share/doc/saltwright)

# The licence is Debian's own copy, which the copyright file names.
file(REMOVE ${doc}/COPYING)
configure_file(${CPACK_SW_COPYRIGHT} ${doc}/copyright COPYONLY)

string(TIMESTAMP when "%a, %d %b %Y %H:%M:%S +0000" UTC)
file(WRITE ${doc}/changelog.Debian
  "saltwright (${CPACK_PACKAGE_VERSION}-${CPACK_DEBIAN_PACKAGE_RELEASE}) "
  "unstable; urgency=medium\n\n"
  "  * Package of version ${CPACK_PACKAGE_VERSION}, made by CPack.\n\n"
  " -- ${CPACK_PACKAGE_CONTACT}  ${when}\n")

execute_process(COMMAND find ${doc}/changelog.Debian ${usr}/share/man -type f
  -exec gzip -9 -n -f {} + COMMAND_ERROR_IS_FATAL ANY)
execute_process(COMMAND find ${usr} -type f ! -path "${usr}/bin/*"
  -exec chmod 644 {} + COMMAND_ERROR_IS_FATAL ANY)
