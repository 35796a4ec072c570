// core/session/spool_join.cpp
#include "core/session/spool_join.h"

#include <algorithm>
#include <utility>

#include "core/session/capture_writer.h"

namespace strumwright::session {
namespace {

constexpr std::size_t flush_bytes = std::size_t{256} << 10U;

bool same_sources(const std::vector<SourceInfo>& a, const std::vector<SourceInfo>& b) {
  return std::equal(a.begin(), a.end(), b.begin(), b.end(),
                    [](const SourceInfo& one, const SourceInfo& other) {
                      return one.name == other.name && one.raw == other.raw &&
                             one.timing == other.timing && one.simulated == other.simulated;
                    });
}

Entry entry_of(Entry::Kind kind, std::size_t src, std::int64_t t_ns) {
  Entry entry;
  entry.kind = kind;
  entry.src = static_cast<std::uint16_t>(src);
  entry.t_ns = t_ns;
  return entry;
}

}  // namespace

SpoolJoin::SpoolJoin(ByteSink& sink, std::int64_t from_ns) : sink_(sink), from_ns_(from_ns) {}

Result<Done> SpoolJoin::add(std::uint64_t number, std::string path, ByteSource& segment) {
  auto reader = open_input(InputKind::capture, std::move(path), segment);
  if (!reader) {
    remark(number, reader.error().what);
    return Done{};
  }
  const auto& header = (*reader)->header();
  if (auto begun = begin(header); !begun) return begun;
  bridge(number, header);
  for (;;) {
    auto entry = (*reader)->next();
    if (!entry) {
      remark(number, entry.error().what);
      return Done{};
    }
    if (!*entry) break;
    if (joined_.entries > 0 && (*entry)->t_ns < joined_.last_ns) {
      remark(number, "its times go back, so the rest is left out");
      return Done{};
    }
    if (auto taken = take(**entry); !taken) return taken;
  }
  if ((*reader)->torn_at()) remark(number, "its last line is cut off");
  return Done{};
}

Result<Done> SpoolJoin::begin(const InputHeader& header) {
  if (state_) {
    if (same_sources(header.sources, header_.sources) && header.started == header_.started) {
      return Done{};
    }
    return Error{"the segments of the spool are not of one session", "spool",
                 "keep the segments of each session in a folder of their own"};
  }
  header_ = header;
  header_.carried.reset();
  state_.emplace(header.sources.size());
  restated_.resize(header.sources.size());
  return Done{};
}

/// Where segments do not follow each other, the header says what was in force.
void SpoolJoin::bridge(std::uint64_t number, const InputHeader& header) {
  const bool follows = joined_.entries > 0 && number == last_number_ + 1 && !incomplete_;
  if (!follows && header.carried) {
    state_ = SpoolState(header_.sources.size(), *header.carried);
    bridging_ = joined_.entries > 0;
  }
  last_number_ = number;
  incomplete_ = false;
}

void SpoolJoin::remark(std::uint64_t number, const std::string& what) {
  joined_.remarks.push_back("segment " + std::to_string(number) + " of the spool: " + what);
  incomplete_ = true;
}

Result<Done> SpoolJoin::take(const Entry& entry) {
  // A session that goes on has no end yet; finish says it.
  if (entry.kind == Entry::Kind::end) return Done{};
  if (entry.t_ns >= from_ns_) {
    if (joined_.entries == 0) carry(entry.t_ns);
    if (bridging_) carry_missing(entry.t_ns);
    if (entry.kind == Entry::Kind::chunk && !entry.out) restate(entry);
    put(entry);
  }
  state_->push(entry);
  return flush(false);
}

void SpoolJoin::carry(std::int64_t t_ns) {
  text_ += header_line(header_);
  written_.emplace(header_.sources.size());
  joined_.first_ns = t_ns;
  carry_missing(t_ns);
}

/// Tells the reader of the capture what changed while nothing was written.
void SpoolJoin::carry_missing(std::int64_t t_ns) {
  if (std::exchange(bridging_, false)) put_gap(t_ns);
  if (!(state_->settings() == written_->settings())) {
    Entry settings = entry_of(Entry::Kind::settings, 0, t_ns);
    settings.settings = state_->settings();
    put(settings);
  }
  for (std::size_t src = 0; src < header_.sources.size(); ++src) {
    if (state_->is_gone(src) != written_->is_gone(src)) {
      put(entry_of(state_->is_gone(src) ? Entry::Kind::gone : Entry::Kind::back, src, t_ns));
    }
    restated_[src] =
        state_->open(src) == written_->open(src) ? std::vector<std::uint8_t>() : state_->open(src);
  }
}

void SpoolJoin::restate(const Entry& chunk) {
  auto& bytes = restated_[chunk.src];
  if (bytes.empty()) return;
  const auto answer = continues(bytes, chunk.bytes);
  if (answer == Continues::yes) {
    put_mark(chunk.t_ns, "the status that source " + std::to_string(chunk.src) +
                             " had before is restated here");
    Entry before = chunk;
    before.bytes = bytes;
    put(before);
  }
  if (answer != Continues::open) bytes.clear();
}

void SpoolJoin::put(const Entry& entry) {
  append_line(entry, text_);
  written_->push(entry);
  joined_.last_ns = entry.t_ns;
  ++joined_.entries;
}

/// How much is missing is not known: at least something of each source that was there.
void SpoolJoin::put_gap(std::int64_t t_ns) {
  put_mark(t_ns, "a part of the spool before this is missing");
  for (std::size_t src = 0; src < header_.sources.size(); ++src) {
    if (written_->is_gone(src)) continue;
    Entry lost = entry_of(Entry::Kind::lost, src, t_ns);
    lost.lost = 1;
    put(lost);
  }
}

void SpoolJoin::put_mark(std::int64_t t_ns, std::string_view text) {
  Entry mark = entry_of(Entry::Kind::mark, 0, t_ns);
  mark.text = text;
  put(mark);
}

Result<Done> SpoolJoin::flush(bool all) {
  if (text_.empty() || (!all && text_.size() < flush_bytes)) return Done{};
  auto written = sink_.write({reinterpret_cast<const std::uint8_t*>(text_.data()), text_.size()});
  text_.clear();
  return written;
}

Result<Joined> SpoolJoin::finish(std::optional<std::int64_t> end_ns) {
  if (joined_.entries > 0 && end_ns) {
    append_line(entry_of(Entry::Kind::end, 0, std::max(*end_ns, joined_.last_ns)), text_);
  }
  if (auto written = flush(true); !written) return written.error();
  return joined_;
}

}  // namespace strumwright::session
