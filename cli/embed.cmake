# SPDX-License-Identifier: GPL-3.0-or-later
# cmake -DOUT=HEADER -DLIST=LIST -DIN=FILE=NAME,... -P: a list LIST(X) of
# X("NAME", "text of FILE").
string(REPLACE "," ";" pairs "${IN}")
set(list "#define ${LIST}(X)")
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
