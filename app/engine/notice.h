// app/engine/notice.h
#pragma once

#include <filesystem>
#include <string>

#include "core/result.h"

namespace strumwright::engine {

/// A sentence of the program about sources, recording, keeping or the spool.
struct Notice {
  bool failed = false;
  std::string text;
  std::filesystem::path file;  ///< what was written, if something was
};

/// "the disk is full: kept/x.jsonl: make room and record again"
inline Notice notice_of(const Error& error) {
  std::string text = error.what;
  for (const auto* part : {&error.where, &error.remedy}) {
    if (!part->empty()) text += ": " + *part;
  }
  return {true, std::move(text), {}};
}

}  // namespace strumwright::engine
