// core/diagnosis/finding_text.h
#pragma once

#include <string>
#include <vector>

#include "core/diagnosis/finding.h"

namespace strumwright::diagnosis {

/// Whether note and chord names use the real accidental signs (screens) or ASCII (documents).
using harmony::Signs;

/// Stable over replays: rule, source, time, byte, channel, note; "-" where there is none.
[[nodiscard]] std::string id_of(const Finding& finding);
/// One or two sentences with the evidence: "Ch 1: E4 was released while not down, Eb4 still ...".
[[nodiscard]] std::string text_of(const Finding& finding, Signs signs = Signs::ascii);
/// A short form of at most about 40 characters for narrow places.
[[nodiscard]] std::string short_text_of(const Finding& finding, Signs signs = Signs::ascii);
/// The other notes: "channel 1 note 64", one a note.
[[nodiscard]] std::vector<std::string> related_of(const Finding& finding);
/// Null if there is no doubt.
[[nodiscard]] const char* doubt_text(Doubt doubt);

/// The order of documents: t_ns, src, rule name, channel, note.
[[nodiscard]] bool before(const Finding& a, const Finding& b);

}  // namespace strumwright::diagnosis
