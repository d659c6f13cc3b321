// SPDX-License-Identifier: GPL-3.0-or-later
// The header compiles as C++ and its calls link from there.
#include <saltwright.h>

#include <cstring>

int main()
{
    double litres = 0;
    sw_unit_system system = SW_METRIC;
    if (sw_volume_parse("400gal", &litres, &system, nullptr) != SW_OK)
        return 1;
    bool right = litres > 1514.16 && litres < 1514.17 && system == SW_US;
    return right && std::strcmp(sw_version(), "0.1.0") == 0 &&
                   std::strcmp(SW_VERSION, sw_version()) == 0 &&
                   SW_VERSION_MAJOR == 0 && SW_VERSION_MINOR == 1
               ? 0
               : 1;
}
