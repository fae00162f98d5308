#include "light/photometry_text.h"

#include <charconv>
#include <cmath>

namespace rakelight {
namespace {

bool is_utf8(std::string_view bytes) {
  for (std::size_t i = 0; i < bytes.size();) {
    const auto c = static_cast<unsigned char>(bytes[i]);
    const std::size_t more = c < 0x80 ? 0 : c >= 0xC2 && c < 0xE0 ? 1 : c >= 0xE0 && c < 0xF0 ? 2 : c >= 0xF0 && c < 0xF5 ? 3 : 9;
    if (more == 9 || i + more >= bytes.size() + (more == 0 ? 1 : 0)) return false;
    for (std::size_t k = 1; k <= more; ++k)
      if ((static_cast<unsigned char>(bytes[i + k]) & 0xC0u) != 0x80u) return false;
    i += more + 1;
  }
  return true;
}

}  // namespace

std::string_view trimmed(std::string_view text) {
  const auto blank = [](char c) { return c == ' ' || c == '\t' || c == '\r' || c == '\0'; };
  while (!text.empty() && blank(text.front())) text.remove_prefix(1);
  while (!text.empty() && blank(text.back())) text.remove_suffix(1);
  return text;
}

std::optional<double> number_in(std::string_view text) {
  text = trimmed(text);
  if (text.starts_with('+')) text.remove_prefix(1);
  if (text.empty() || text.size() > 64) return std::nullopt;
  std::string digits(text);
  if (const auto comma = digits.find(','); comma != std::string::npos) digits[comma] = '.';
  double value = 0;
  const auto [end, error] = std::from_chars(digits.data(), digits.data() + digits.size(), value);
  if (error != std::errc() || end != digits.data() + digits.size() || !std::isfinite(value)) return std::nullopt;
  return value;
}

std::string shown(std::string_view text) {
  std::string out = utf8_text(text.substr(0, 40));
  for (char& c : out)
    if (static_cast<unsigned char>(c) < 32) c = ' ';
  return "\"" + out + (text.size() > 40 ? "…\"" : "\"");
}

std::string utf8_text(std::string_view bytes) {
  if (is_utf8(bytes)) return std::string(bytes);
  std::string out;
  for (const char byte : bytes) {
    const auto c = static_cast<unsigned char>(byte);
    if (c < 0x80) {
      out += byte;
    } else {
      out += static_cast<char>(0xC0u | (c >> 6u));
      out += static_cast<char>(0x80u | (c & 0x3Fu));
    }
  }
  return out;
}

}  // namespace rakelight
