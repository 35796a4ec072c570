// tests/speed/capture_speed.cpp
//
// Reading a capture of 1,000,000 chunk lines (about 33.9 bytes each), against JSON libraries on the
// same bytes in memory; our reader gets them through a byte source, a copy the others are spared.
// Candidates run in turn; figures are medians over the rounds, ratios medians
// of each round's ratio. Each candidate must come to the same check sum.
#include <algorithm>
#include <cstdio>
#include <cstring>
#include <ctime>
#include <functional>
#include <random>
#include <string>
#include <string_view>
#include <vector>

#include <nlohmann/json.hpp>
#include <simdjson.h>

#include "core/session/capture_writer.h"
#include "core/session/hex_digit.h"
#include "core/session/input_reader.h"

namespace {

using namespace strumwright;

constexpr int line_count = 1'000'000;
constexpr int rounds = 7;

class MemorySource final : public session::ByteSource {
 public:
  explicit MemorySource(std::string_view text) : text_(text) {}
  Result<std::size_t> read(std::span<std::uint8_t> space) override {
    const auto count = std::min(space.size(), text_.size());
    std::memcpy(space.data(), text_.data(), count);
    text_.remove_prefix(count);
    return count;
  }

 private:
  std::string_view text_;
};

/// Times and bytes of all chunks, so that no candidate can skip either.
struct CheckSum {
  std::uint64_t sum = 0;
  void add(std::int64_t t_ns, const std::uint8_t* bytes, std::size_t count) {
    sum += static_cast<std::uint64_t>(t_ns);
    for (std::size_t i = 0; i < count; ++i) sum = sum * 31 + bytes[i];
  }
  void add_hex(std::int64_t t_ns, std::string_view hex) {
    std::uint8_t bytes[64];
    const auto count = std::min(hex.size() / 2, sizeof bytes);
    for (std::size_t i = 0; i < count; ++i) {
      bytes[i] = static_cast<std::uint8_t>(session::hex_digit(hex[2 * i]) << 4U |
                                           session::hex_digit(hex[2 * i + 1]));
    }
    add(t_ns, bytes, count);
  }
};

std::string first_line() {
  session::InputHeader header;
  header.sources = {{"H-02", true, wire::Grade::byte, std::nullopt, false}};
  return session::header_line(header);
}

/// Notes and their releases, 3 bytes each.
template <class Append>
std::string recording(Append append) {
  std::mt19937 random(5);
  std::string text = first_line();
  std::int64_t t_ns = 0;
  for (int i = 0; i < line_count; ++i) {
    t_ns += 500'000 + random() % 1'000'000;
    const auto note = static_cast<std::uint8_t>(36 + random() % 48);
    const std::uint8_t bytes[] = {0x90, note, static_cast<std::uint8_t>(random() % 128)};
    append(t_ns, std::span(bytes), text);
  }
  return text;
}

std::string as_written() {
  return recording([](std::int64_t t_ns, std::span<const std::uint8_t> bytes, std::string& text) {
    session::Entry entry;
    entry.t_ns = t_ns;
    entry.bytes = bytes;
    session::append_line(entry, text);
  });
}

std::string in_other_shape() {
  return recording([](std::int64_t t_ns, std::span<const std::uint8_t> bytes, std::string& text) {
    text += "{\"hex\": \"";
    char digits[3];
    for (const auto byte : bytes) {
      std::snprintf(digits, sizeof digits, "%02x", byte);
      text += digits;
    }
    text += "\", \"t\": " + std::to_string(t_ns) + "}\n";
  });
}

std::uint64_t by_reader(const std::string& text) {
  MemorySource source(text);
  CheckSum sum;
  auto reader = session::open_input(session::InputKind::capture, "speed", source);
  if (!reader) return 0;
  for (;;) {
    auto entries = (*reader)->read();
    if (!entries) return 0;
    if (entries->empty()) return sum.sum;
    for (const auto& entry : *entries) sum.add(entry.t_ns, entry.bytes.data(), entry.bytes.size());
  }
}

std::uint64_t by_simdjson(const simdjson::padded_string& text) {
  simdjson::ondemand::parser parser;
#ifdef SIMDJSON_THREADS_ENABLED
  parser.threaded = false;  // one thread for all candidates
#endif
  simdjson::ondemand::document_stream lines;
  CheckSum sum;
  if (parser.iterate_many(text, 1'000'000).get(lines) != simdjson::SUCCESS) return 0;
  for (auto line : lines) {
    std::int64_t t_ns = 0;
    std::string_view hex;
    if (line["t"].get_int64().get(t_ns) != simdjson::SUCCESS) continue;  // the header
    if (line["hex"].get_string().get(hex) != simdjson::SUCCESS) return 0;
    sum.add_hex(t_ns, hex);
  }
  return sum.sum;
}

std::uint64_t by_nlohmann(const std::string& text) {
  CheckSum sum;
  std::string_view rest = text;
  rest.remove_prefix(rest.find('\n') + 1);
  while (!rest.empty()) {
    const auto end = rest.find('\n');
    const auto line = nlohmann::json::parse(rest.begin(), rest.begin() + end);
    sum.add_hex(line["t"].get<std::int64_t>(), line["hex"].get_ref<const std::string&>());
    rest.remove_prefix(end + 1);
  }
  return sum.sum;
}

std::uint64_t by_line_feeds(const std::string& text) {
  std::uint64_t count = 0;
  const char* at = text.data();
  const char* const end = at + text.size();
  while (const void* found = std::memchr(at, '\n', static_cast<std::size_t>(end - at))) {
    at = static_cast<const char*>(found) + 1;
    ++count;
  }
  return count;
}

struct Candidate {
  const char* name;
  std::function<std::uint64_t()> run;
  std::vector<double> ns_per_line;
};

double median(std::vector<double> values) {
  std::sort(values.begin(), values.end());
  return values[values.size() / 2];
}

double median_ratio(const Candidate& peer, const Candidate& ours) {
  std::vector<double> ratios;
  for (std::size_t i = 0; i < ours.ns_per_line.size(); ++i) {
    ratios.push_back(peer.ns_per_line[i] / ours.ns_per_line[i]);
  }
  return median(ratios);
}

/// CPU time of this thread: what others do on the machine counts less.
double cpu_ns() {
  timespec now{};
  clock_gettime(CLOCK_THREAD_CPUTIME_ID, &now);
  return static_cast<double>(now.tv_sec) * 1e9 + static_cast<double>(now.tv_nsec);
}

void run_once(Candidate& candidate) {
  const double begin_ns = cpu_ns();
  candidate.run();
  candidate.ns_per_line.push_back((cpu_ns() - begin_ns) / line_count);
}

bool same_sums(std::vector<Candidate>& candidates) {
  const auto sum = candidates.front().run();
  return sum != 0 && std::all_of(candidates.begin(), candidates.end(),
                                 [sum](const Candidate& each) { return each.run() == sum; });
}

/// Prints a row and says whether the target is met.
bool row(const char* what, double ratio, double target) {
  const bool met = ratio >= target;
  std::printf("%-58s %7.2f  target %5.2f  %s\n", what, ratio, target, met ? "met" : "MISSED");
  return met;
}

void print_times(const std::vector<Candidate>& candidates, std::size_t bytes) {
  for (const auto& each : candidates) {
    const auto [least, most] =
        std::minmax_element(each.ns_per_line.begin(), each.ns_per_line.end());
    const double ns = median(each.ns_per_line);
    std::printf("%-40s %7.1f ns/line (%.1f .. %.1f)  %6.0f MB/s\n", each.name, ns, *least, *most,
                static_cast<double>(bytes) / ns / line_count * 1e3);
  }
}

}  // namespace

int main() {
  const auto exact = as_written();
  const auto other = in_other_shape();
  const simdjson::padded_string exact_padded(exact);
  const simdjson::padded_string other_padded(other);
  std::vector<Candidate> on_exact = {
      {"our reader", [&] { return by_reader(exact); }, {}},
      {"simdjson iterate_many", [&] { return by_simdjson(exact_padded); }, {}},
      {"nlohmann parse a line", [&] { return by_nlohmann(exact); }, {}}};
  std::vector<Candidate> on_other = {
      {"our reader, other shape", [&] { return by_reader(other); }, {}},
      {"simdjson iterate_many, other shape", [&] { return by_simdjson(other_padded); }, {}}};
  Candidate floor = {"floor: count line feeds", [&] { return by_line_feeds(exact); }, {}};
  if (!same_sums(on_exact) || !same_sums(on_other)) {
    std::puts("the candidates do not agree on the recording");
    return 1;
  }
  for (int round = 0; round < rounds; ++round) {
    for (auto& each : on_exact) run_once(each);
    run_once(floor);
  }
  for (int round = 0; round < rounds; ++round) {
    for (auto& each : on_other) run_once(each);
  }
  std::printf("%d lines, %.1f bytes a line, medians of %d rounds\n", line_count,
              static_cast<double>(exact.size()) / line_count, rounds);
  print_times(on_exact, exact.size());
  print_times({floor}, exact.size());
  print_times(on_other, other.size());
  bool met =
      row("capture load / simdjson iterate_many", median_ratio(on_exact[1], on_exact[0]), 2.0);
  met &= row("capture load / nlohmann parse", median_ratio(on_exact[2], on_exact[0]), 20.0);
  met &= row("capture load / line feed floor", median_ratio(floor, on_exact[0]), 0.25);
  met &= row("other key order and spacing / simdjson iterate_many",
             median_ratio(on_other[1], on_other[0]), 0.6);
  return met ? 0 : 1;
}
