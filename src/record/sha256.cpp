#include "armwise/record/sha256.hpp"

#include <openssl/evp.h>

#include <array>

#include "armwise/base/fault.hpp"

namespace armwise::record {

std::string sha256(std::string_view content) {
  std::array<unsigned char, EVP_MAX_MD_SIZE> digest{};
  unsigned int length = 0;
  if (EVP_Digest(content.data(), content.size(), digest.data(), &length, EVP_sha256(), nullptr) != 1) {
    throw Fault(FaultKind::internal, "A checksum could not be computed", "libcrypto refused SHA-256");
  }
  constexpr std::string_view hexadecimal = "0123456789abcdef";
  std::string out;
  for (std::size_t i = 0; i < length; ++i) {
    out += hexadecimal[digest.at(i) >> 4U];
    out += hexadecimal[digest.at(i) & 0x0FU];
  }
  return out;
}

}  // namespace armwise::record
