// app/engine/block_list.h
#pragma once

#include <algorithm>
#include <array>
#include <atomic>
#include <cstddef>
#include <cstdint>
#include <limits>
#include <memory>
#include <mutex>
#include <utility>
#include <vector>

namespace strumwright::engine {

/// Append-only list of fixed-size records in blocks: one writer, any number of readers.
///
/// A record is immutable once written; the count is published by a release store. A reader takes a
/// `View` (for a frame, say) and indexes it without a lock. When more than `most` records are held
/// the oldest block goes; a view that still shows it keeps it alive. `Record` has
/// `std::int64_t order_ns() const`, in which records nearly ascend: see `View::at_or_after`.
/// Errors: none. Threads: `append` the writer's only, `view` and `end` any.
template <class Record, std::size_t records_a_block = 4096>
class BlockList {
  struct Block {
    std::array<Record, records_a_block> records;
  };
  /// Which blocks there are; never changed once published.
  struct Directory {
    std::uint64_t first = 0;  ///< index of the first record of the first block
    std::vector<std::shared_ptr<Block>> blocks;
  };

 public:
  explicit BlockList(std::size_t most_records)
      : most_blocks_(
            std::max<std::size_t>(2, (most_records + records_a_block - 1) / records_a_block)),
        directory_(std::make_shared<const Directory>()) {}

  /// Writer: appends; at each new block it takes the lock for one pointer.
  void append(const Record& record) {
    const std::uint64_t index = end_.load(std::memory_order_relaxed);
    if (index % records_a_block == 0) add_block(index);
    newest_->records[index % records_a_block] = record;
    note_order(record.order_ns());
    end_.store(index + 1, std::memory_order_release);
  }

  /// How many were ever appended; good to see that something is new.
  [[nodiscard]] std::uint64_t end() const { return end_.load(std::memory_order_acquire); }

  /// What was there at one moment. Keeps its blocks alive; cheap to take, meant to be short-lived.
  class View {
   public:
    /// Index of the oldest record; grows as blocks go, so that an index means one record for good.
    [[nodiscard]] std::uint64_t first() const { return directory_->first; }
    [[nodiscard]] std::uint64_t end() const { return end_; }
    [[nodiscard]] bool empty() const { return first() == end_; }
    /// `first() <= index < end()`.
    [[nodiscard]] const Record& operator[](std::uint64_t index) const {
      const std::uint64_t offset = index - directory_->first;
      return directory_->blocks[offset / records_a_block]->records[offset % records_a_block];
    }
    /// An index so that every record before it has `order_ns() < t_ns`. Records come in the order
    /// in which they were decided, so a few from there on may be earlier too: skip those.
    [[nodiscard]] std::uint64_t at_or_after(std::int64_t t_ns) const {
      // If record j is earlier than t - back, none before it reaches t, however they are ordered.
      std::uint64_t low = first();
      std::uint64_t high = end_;
      while (low < high) {
        const std::uint64_t middle = low + (high - low) / 2;
        if ((*this)[middle].order_ns() < t_ns - most_back_ns_) {
          low = middle + 1;
        } else {
          high = middle;
        }
      }
      return low;
    }

   private:
    friend class BlockList;
    View(std::shared_ptr<const Directory> directory, std::uint64_t end, std::int64_t most_back_ns)
        : directory_(std::move(directory)), end_(end), most_back_ns_(most_back_ns) {}

    std::shared_ptr<const Directory> directory_;
    std::uint64_t end_;
    std::int64_t most_back_ns_;
  };

  [[nodiscard]] View view() const {
    std::shared_ptr<const Directory> directory;
    {
      const std::lock_guard lock(mutex_);
      directory = directory_;
    }
    // A block that came since is not in this directory.
    const std::uint64_t reach = directory->first + directory->blocks.size() * records_a_block;
    const std::uint64_t there = std::min(end_.load(std::memory_order_acquire), reach);
    return {std::move(directory), there, most_back_ns_.load(std::memory_order_relaxed)};
  }

 private:
  void add_block(std::uint64_t index) {
    auto next = std::make_shared<Directory>(*directory_);
    if (next->blocks.size() == most_blocks_) next->blocks.erase(next->blocks.begin());
    next->blocks.push_back(std::make_shared<Block>());
    next->first = index - (next->blocks.size() - 1) * records_a_block;
    newest_ = next->blocks.back().get();
    std::shared_ptr<const Directory> old = std::move(next);
    const std::lock_guard lock(mutex_);
    directory_.swap(old);
  }

  void note_order(std::int64_t order_ns) {
    latest_ns_ = std::max(latest_ns_, order_ns);
    if (latest_ns_ - order_ns > most_back_ns_.load(std::memory_order_relaxed)) {
      most_back_ns_.store(latest_ns_ - order_ns, std::memory_order_relaxed);
    }
  }

  const std::size_t most_blocks_;
  Block* newest_ = nullptr;                                            // writer's
  std::int64_t latest_ns_ = std::numeric_limits<std::int64_t>::min();  // writer's
  std::atomic<std::int64_t> most_back_ns_{0};  ///< the most that a record came behind one before
  std::atomic<std::uint64_t> end_{0};
  mutable std::mutex mutex_;
  std::shared_ptr<const Directory> directory_;  // writer stores under the lock
};

}  // namespace strumwright::engine
