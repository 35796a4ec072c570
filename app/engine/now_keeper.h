// app/engine/now_keeper.h
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "app/engine/history.h"
#include "app/engine/listener.h"
#include "app/engine/now_state.h"
#include "core/pipeline/pipeline.h"
#include "core/session/entry.h"

namespace strumwright::engine {

/// Turns what enters the bench and what the pipeline finds into now-state and history.
///
/// Hands all of it on to a listener, if there is one. Bounded memory. Thread: the bench thread's.
class NowKeeper : public pipeline::Sink {
 public:
  NowKeeper(std::vector<session::SourceInfo> sources, History& history, Listener* listener);

  /// What never changes, or was set by the owner: epoch, source names and detail, notice,
  /// recording.
  [[nodiscard]] Now& fixed() { return now_; }

  /// An entry, before the pipeline takes it.
  void entry(const session::Entry& entry);
  void say(std::string_view notice);

  void events(std::uint16_t src, std::span<const midi::Event> events) override;
  void note(std::uint16_t src, const notes::NoteFact& fact) override;
  void stroke(const pipeline::JudgedStroke& stroke) override;
  void chord(const pipeline::ChordChange& change) override;
  void finding(const diagnosis::Finding& finding) override;

  /// Whether the pipeline found anything since the last call.
  [[nodiscard]] bool take_changed() { return std::exchange(changed_, false); }

  /// All that is true now, as of `t_ns`; `out` is overwritten whole.
  void fill(const pipeline::Pipeline& pipeline, std::int64_t t_ns, Now& out);

 private:
  struct OpenNote {
    std::int64_t start_ns = 0;
    std::uint8_t velocity = 0;  ///< 0: not down
  };
  struct Lane {
    std::array<OpenNote, std::size_t{16} * 128> open{};
    std::uint64_t bytes = 0;
    std::uint64_t bytes_out = 0;
    bool gone = false;
    LoadColumn column;
  };

  void set_link(const session::Entry& entry);
  void take_bytes(const session::Entry& chunk);
  void count_load(Lane& lane, std::int64_t t_ns);
  void flush_load(Lane& lane);
  void end_span(std::uint16_t src, const notes::NoteFact& fact, std::uint8_t ending,
                const OpenNote& open);
  void fill_sums(const pipeline::SourceState& state);
  void fill_music(const pipeline::SourceState& state, std::size_t src);
  void fill_held(std::vector<notes::HeldNote>& held);
  void fill_findings(Now& out) const;
  void zero_sums();

  std::vector<session::SourceInfo> sources_;
  History& history_;
  Listener* listener_;
  std::vector<Lane> lanes_;
  Now now_;
  StrokeNow final_stroke_;
  std::uint64_t strokes_ = 0;
  bool changed_ = false;
  harmony::ChordName settled_;         ///< the newest entry of `chords`
  harmony::ChordName settled_before_;  ///< and the one before
  std::uint16_t newest_src_ = 0;  ///< the source that spoke last: its chord and stroke are shown
  std::string first_bytes_;
  std::array<diagnosis::Finding, Now::most_findings> findings_{};  ///< ring by `findings_total`
};

}  // namespace strumwright::engine
