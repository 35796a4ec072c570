// app/engine/listener.h
#pragma once

#include "core/pipeline/pipeline.h"
#include "core/session/entry.h"

namespace strumwright::engine {

/// Takes all that a session gives, in order, on the bench thread; for commands.
class Listener : public pipeline::Sink {
 public:
  /// What enters (chunk, mark, lost, gone, back, settings, end), before the pipeline takes it.
  virtual void entry(const session::Entry&) {}
};

}  // namespace strumwright::engine
