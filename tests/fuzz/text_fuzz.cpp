// tests/fuzz/text_fuzz.cpp
#include "tests/fuzz/input_check.h"

using namespace strumwright;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  if (size == 0) return 0;
  const std::string_view text(reinterpret_cast<const char*>(data) + 1, size - 1);
  fuzz::check_input(session::InputKind::text, text, std::nullopt);
  const auto& readings = session::text_readings();
  const auto told = readings[data[0] % readings.size()];
  fuzz::check_input(session::InputKind::text, text, told);
  // What is found without being told is what that reading gives.
  const auto found = fuzz::read_input(session::InputKind::text, text, SIZE_MAX, std::nullopt);
  if (!found.complaint.empty()) return 0;
  bool agrees = false;
  for (const auto reading : readings) {
    const auto outcome = fuzz::read_input(session::InputKind::text, text, SIZE_MAX, reading);
    agrees = agrees || outcome == found;
  }
  fuzz::require(agrees);
  return 0;
}
