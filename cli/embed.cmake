# SPDX-License-Identifier: GPL-3.0-or-later
# cmake -DOUT=HEADER -DIN=FILE=NAME,... -P: a list START_LIST(X) of
# X("NAME", "text of FILE").
string(REPLACE "," ";" pairs "${IN}")
set(list "#define START_LIST(X)")
foreach(pair ${pairs})
  string(REGEX REPLACE "=.*" "" file "${pair}")
  string(REGEX REPLACE ".*=" "" name "${pair}")
  file(READ "${file}" text)
  string(REPLACE "\\" "\\\\" text "${text}")
  string(REPLACE "\"" "\\\"" text "${text}")
  string(REPLACE "\n" "\\n\" \\\n    \"" text "${text}")
  string(APPEND list " \\\n  X(\"${name}\", \\\n    \"${text}\")")
endforeach()
file(WRITE "${OUT}" "${list}\n")
