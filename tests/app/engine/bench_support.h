// tests/app/engine/bench_support.h
#pragma once

#include <algorithm>
#include <chrono>
#include <cstdint>
#include <filesystem>
#include <functional>
#include <memory>
#include <string>
#include <thread>
#include <utility>
#include <vector>

#include "app/io/clock.h"
#include "app/io/source.h"
#include "core/diagnosis/finding.h"
#include "core/diagnosis/finding_text.h"
#include "core/pipeline/pipeline.h"

namespace strumwright::engine {

/// A source that pushes what the test tells it to, from the test's own thread.
class FakeSource : public io::Source {
 public:
  explicit FakeSource(session::SourceInfo info, std::int64_t lateness_ns = 1'000'000)
      : info_(std::move(info)), lateness_ns_(lateness_ns) {}

  [[nodiscard]] session::SourceInfo info() const override { return info_; }
  [[nodiscard]] std::string detail() const override { return "a test"; }
  [[nodiscard]] std::int64_t lateness_ns() const override { return lateness_ns_; }
  [[nodiscard]] Result<Done> start(io::StampedRing& into) override {
    if (fails_) return Error{"the port is not there", info_.name, "plug it in"};
    ring_ = &into;
    return Done{};
  }
  void stop() override {}

  void fail() { fails_ = true; }
  io::StampedRing& ring() { return *ring_; }
  void send(std::vector<std::uint8_t> bytes) { ring_->push(io::now_ns(), bytes); }

 private:
  session::SourceInfo info_;
  std::int64_t lateness_ns_;
  bool fails_ = false;
  io::StampedRing* ring_ = nullptr;
};

inline session::SourceInfo raw_source(std::string name = "H-02") {
  session::SourceInfo info;
  info.name = std::move(name);
  info.raw = true;
  info.timing = wire::Grade::byte;
  return info;
}

/// Waits for what another thread will bring about; false after 5 s.
inline bool wait_until(const std::function<bool()>& there) {
  const auto limit_ns = io::now_ns() + std::int64_t{5'000'000'000};
  while (!there()) {
    if (io::now_ns() > limit_ns) return false;
    std::this_thread::sleep_for(std::chrono::milliseconds(1));
  }
  return true;
}

/// A folder of its own, removed with its contents.
class TestFolder {
 public:
  TestFolder() {
    std::string pattern = (std::filesystem::temp_directory_path() / "engine-XXXXXX").string();
    path_ = ::mkdtemp(pattern.data());
  }
  TestFolder(const TestFolder&) = delete;
  TestFolder& operator=(const TestFolder&) = delete;
  ~TestFolder() { std::filesystem::remove_all(path_); }
  [[nodiscard]] const std::filesystem::path& path() const { return path_; }

 private:
  std::filesystem::path path_;
};

/// All that a pipeline says, as lines that can be compared: each list of a document by itself,
/// since only the order within one is promised; findings in the order of documents.
class Account : public pipeline::Sink {
 public:
  void stroke(const pipeline::JudgedStroke& judged) override {
    strokes_.push_back("stroke " + std::to_string(judged.src) + " " +
                       std::to_string(judged.stroke.start_ns) + " " +
                       std::to_string(judged.stroke.end_ns) + " " +
                       std::to_string(judged.stroke.onsets.size()));
  }
  void chord(const pipeline::ChordChange& change) override {
    chords_.push_back("chord " + std::to_string(change.t_ns) + " " +
                      harmony::to_text(change.chord.best));
  }
  void finding(const diagnosis::Finding& finding) override { findings_.push_back(finding); }
  void note(std::uint16_t src, const notes::NoteFact& fact) override {
    notes_.push_back("note " + std::to_string(src) + " " + std::to_string(fact.key.number) + " " +
                     std::to_string(fact.t_ns) + " " + std::to_string(fact.byte));
  }

  [[nodiscard]] std::vector<std::string> in_order() const {
    std::vector<std::string> lines = notes_;
    lines.insert(lines.end(), strokes_.begin(), strokes_.end());
    lines.insert(lines.end(), chords_.begin(), chords_.end());
    auto sorted = findings_;
    std::stable_sort(sorted.begin(), sorted.end(), diagnosis::before);
    for (const auto& finding : sorted) {
      lines.push_back(diagnosis::id_of(finding) + " " + std::to_string(finding.decided_ns) + " " +
                      diagnosis::text_of(finding));
    }
    return lines;
  }

 private:
  std::vector<std::string> notes_;
  std::vector<std::string> strokes_;
  std::vector<std::string> chords_;
  std::vector<diagnosis::Finding> findings_;
};

}  // namespace strumwright::engine
