// A checksum that other programs reckon as well.
#pragma once
#include <string>
#include <string_view>

namespace rakelight {
/// SHA-256 of bytes (FIPS 180-4), as 64 hexadecimal digits.
std::string sha256(std::string_view bytes);
}  // namespace rakelight
