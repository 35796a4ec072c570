// tests/fuzz/hex_fuzz.cpp
#include "tests/fuzz/input_check.h"

using namespace strumwright;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const std::string_view text(reinterpret_cast<const char*>(data), size);
  fuzz::check_input(session::InputKind::hex, text, std::nullopt);
  // Any bytes written as hex come back as they were.
  static constexpr std::string_view digits = "0123456789aBcDeF";
  std::string dump;
  for (const char character : text) {
    const auto byte = static_cast<std::uint8_t>(character);
    dump += digits[byte >> 4U];
    dump += digits[byte & 0xFU];
    if (byte % 3 == 0) dump += byte % 2 == 0 ? " " : "\n";
  }
  const auto outcome = fuzz::read_input(session::InputKind::hex, dump, 3, std::nullopt);
  fuzz::require(outcome.complaint.empty());
  fuzz::require(std::equal(outcome.bytes.begin(), outcome.bytes.end(), data, data + size));
  return 0;
}
