// tests/speed/audit_speed.cpp
//
// What an audit costs over the byte parser alone on the same bytes, whether it grows in proportion
// from 10^4 to 10^7 messages, and whether memory stays flat. `.bin` (no times) and `.jsonl` (a
// chunk a burst, judged in full). Times are medians over rounds; the sizes take turns in each
// round.
#include <algorithm>
#include <chrono>
#include <cstdio>
#include <cstring>
#include <memory>
#include <string>
#include <vector>

#include <sys/resource.h>

#include "core/midi/byte_parser.h"
#include "core/pipeline/pipeline.h"
#include "core/publish/audit_document.h"
#include "core/session/capture_writer.h"
#include "core/session/input_reader.h"
#include "core/simulation/simulator.h"

namespace {

using namespace strumwright;

constexpr int rounds = 5;

/// A recording that is made as it is read, so that its own size is no part of the memory.
class RepeatedSource final : public session::ByteSource {
 public:
  /// `head` once, then `body` as often as asked.
  RepeatedSource(std::string_view head, std::string_view body, std::uint64_t times)
      : rest_(head), body_(body), times_(times) {}
  Result<std::size_t> read(std::span<std::uint8_t> space) override {
    if (rest_.empty() && times_ > 0) {
      rest_ = body_;
      --times_;
    }
    const auto count = std::min(space.size(), rest_.size());
    std::memcpy(space.data(), rest_.data(), count);
    rest_.remove_prefix(count);
    return count;
  }

 private:
  std::string_view rest_;
  std::string_view body_;
  std::uint64_t times_;
};

/// Bytes and capture lines of a simulated Heron of exactly so many messages.
struct Material {
  std::string bytes;
  std::string capture;
};

Material make(std::uint64_t messages, bool with_capture) {
  simulation::SimulationOptions options;
  options.messages = messages;
  options.running_status = true;
  simulation::Simulator simulator(options);
  Material material;
  session::InputHeader header;
  header.sources.push_back({"SIMULATED Heron", true, wire::Grade::byte, std::nullopt, true});
  if (with_capture) material.capture = session::header_line(header);
  while (const auto chunk = simulator.next()) {
    material.bytes.append(reinterpret_cast<const char*>(chunk->bytes.data()), chunk->bytes.size());
    if (!with_capture) continue;
    session::Entry entry;
    entry.t_ns = chunk->t_ns;
    entry.bytes = chunk->bytes;
    session::append_line(entry, material.capture);
  }
  return material;
}

double seconds(const auto& work) {
  const auto start = std::chrono::steady_clock::now();
  work();
  return std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
}

double median(std::vector<double> values) {
  std::sort(values.begin(), values.end());
  return values[values.size() / 2];
}

void audit(session::InputKind kind, session::ByteSource& source, std::uint64_t messages) {
  auto reader = session::open_input(kind, "speed", source);
  if (!reader) std::abort();
  publish::AuditCollector collector;
  pipeline::Pipeline pipeline((*reader)->header().sources, {}, collector);
  for (auto entry = (*reader)->next(); entry && *entry; entry = (*reader)->next()) {
    pipeline.push(**entry);
  }
  pipeline.finish();
  if (pipeline.state(0).counts.messages != messages) std::abort();
}

void parse_only(std::string_view bytes) {
  midi::ByteParser parser;
  constexpr std::size_t block = 512;
  std::vector<midi::Event> events(midi::ByteParser::most_events(block));
  const auto* data = reinterpret_cast<const std::uint8_t*>(bytes.data());
  for (std::size_t at = 0; at < bytes.size(); at += block) {
    const auto count = std::min(block, bytes.size() - at);
    parser.push({data + at, count}, static_cast<std::int64_t>(at) * 320'000, 320'000,
                events.data());
  }
  if (parser.counts().bytes != bytes.size()) std::abort();
}

long peak_kib() {
  rusage usage{};
  getrusage(RUSAGE_SELF, &usage);
  return usage.ru_maxrss;
}

void show_growth(const char* name, session::InputKind kind, const std::vector<std::uint64_t>& sizes,
                 std::string Material::*text) {
  std::vector<Material> materials;
  for (const auto size : sizes)
    materials.push_back(make(size, kind == session::InputKind::capture));
  std::vector<std::vector<double>> ns(sizes.size());
  for (int round = 0; round < rounds; ++round) {
    for (std::size_t i = 0; i < sizes.size(); ++i) {
      // Small inputs often, so that each figure rests on as much work.
      const auto times = static_cast<int>(std::max<std::uint64_t>(1, sizes.back() / sizes[i] / 10));
      const double s = seconds([&] {
        for (int k = 0; k < times; ++k) {
          RepeatedSource source(materials[i].*text, "", 0);
          audit(kind, source, sizes[i]);
        }
      });
      ns[i].push_back(s * 1e9 / static_cast<double>(sizes[i]) / times);
    }
  }
  for (std::size_t i = 0; i < sizes.size(); ++i) {
    std::printf("audit --summary %s, %9llu messages: %6.1f ns a message, x%.2f of the smallest\n",
                name, static_cast<unsigned long long>(sizes[i]), median(ns[i]),
                median(ns[i]) / median(ns[0]));
  }
}

void show_ratio() {
  const auto material = make(10'000'000, false);
  std::vector<double> ratios;
  std::vector<double> ns;
  for (int round = 0; round < rounds; ++round) {
    const double parser = seconds([&] { parse_only(material.bytes); });
    RepeatedSource source(material.bytes, "", 0);
    const double whole = seconds([&] { audit(session::InputKind::bin, source, 10'000'000); });
    ratios.push_back(whole / parser);
    ns.push_back(whole * 100);
  }
  std::printf(
      "audit --summary of 10^7 messages, .bin: %.1f ns a message, x%.1f of the parser alone "
      "(at most 10)\n",
      median(ns), median(ratios));
}

/// Peak memory before and after a long input that is made on the fly.
void show_memory() {
  // A note that starts and ends leaves the session as it was, so the body may repeat.
  const std::string body("\x90\x3c\x50\x90\x3c\x00", 6);
  RepeatedSource small("", body, 5'000);
  audit(session::InputKind::bin, small, 10'000);
  const long before = peak_kib();
  RepeatedSource large("", body, 5'000'000);
  audit(session::InputKind::bin, large, 10'000'000);
  std::printf("peak memory: %ld KiB after 10^4 messages, %ld KiB after 10^7\n", before, peak_kib());
}

}  // namespace

int main() {
  show_memory();
  show_ratio();
  show_growth(".bin", session::InputKind::bin, {10'000, 100'000, 1'000'000, 10'000'000},
              &Material::bytes);
  show_growth(".jsonl", session::InputKind::capture, {10'000, 100'000, 1'000'000},
              &Material::capture);
  return 0;
}
