// SHA-256 (FIPS 180-4), by OpenSSL's libcrypto.
#pragma once

#include <string>
#include <string_view>

namespace armwise::record {

// 64 lower-case hexadecimal digits, as sha256sum prints them.
std::string sha256(std::string_view content);

}  // namespace armwise::record
