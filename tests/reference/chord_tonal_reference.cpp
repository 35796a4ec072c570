// tests/reference/chord_tonal_reference.cpp
// Our table of chord kinds against @tonaljs/chord-type, run by node from the folder that
// STRUMWRIGHT_NODE_MODULES names (else .build/node/node_modules).
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <iostream>
#include <map>
#include <string>

#include "core/harmony/chord_kind.h"

using namespace strumwright::harmony;

namespace {

constexpr int skipped = 77;

int skip(const std::string& why) {
  std::cout << "SKIPPED: " << why << '\n';
  return skipped;
}

/// What tonal calls a kind where it is not our suffix.
const std::map<std::string, std::string> aliases = {
    {"maj", "M"}, {"minmaj7", "mM7"}, {"madd9", "madd9"}, {"min69", "m69"}, {"maj7b5", "M7b5"},
};

/// Where the two differ on purpose, and what tonal has. MusicXML 4.0 decides: there an 11th stands
/// on the ninth, a 13th on the 11th, with every tone below.
const std::map<std::string, std::string> differ = {
    {"dom11", "101001010010"},  // without the third
    {"dom13", "101010010110"},  // without the 11th, as the other two
    {"min13", "101100010110"},
    {"maj13", "101010010101"},
};

std::string chroma_of(const ChordKind& kind) {
  std::string chroma;
  for (int tone = 0; tone < 12; ++tone) chroma += (kind.tones >> tone & 1) != 0 ? '1' : '0';
  return chroma;
}

std::string alias_of(const ChordKind& kind) {
  const auto found = aliases.find(kind.quality);
  return found == aliases.end() ? kind.suffix : found->second;
}

/// Runs `command` and returns what it printed; empty if it failed.
std::string output_of(const std::string& command) {
  FILE* pipe = popen(command.c_str(), "r");
  if (pipe == nullptr) return {};
  std::string text;
  char block[4096];
  for (std::size_t got = 0; (got = fread(block, 1, sizeof block, pipe)) > 0;) {
    text.append(block, got);
  }
  return pclose(pipe) == 0 ? text : std::string();
}

int compare(const std::string& theirs) {
  int wrong = 0;
  for (const auto& kind : chord_kinds()) {
    const std::string start = '\n' + alias_of(kind) + ' ';
    const auto at = ('\n' + theirs).find(start);
    const auto known = differ.find(kind.quality);
    const std::string expected = known == differ.end() ? chroma_of(kind) : known->second;
    const auto theirs_here =
        at == std::string::npos ? "nothing" : theirs.substr(at + start.size() - 1, 12);
    if (theirs_here == expected) continue;
    ++wrong;
    std::cout << kind.quality << ": expected " << expected << ", tonal has " << theirs_here << '\n';
  }
  return wrong;
}

}  // namespace

int main(int count, char** arguments) {
  if (count != 3) return 2;
  const char* named = std::getenv("STRUMWRIGHT_NODE_MODULES");
  const std::string modules = named != nullptr ? named : ".build/node/node_modules";
  if (!std::filesystem::exists(modules + "/@tonaljs/chord-type")) {
    return skip("no @tonaljs/chord-type in " + modules);
  }
  if (std::system("command -v node > /dev/null") != 0) return skip("node is not installed");

  const std::string list = arguments[2];
  std::ofstream file(list);
  for (const auto& kind : chord_kinds()) file << alias_of(kind) << '\n';
  file.close();
  const auto theirs =
      output_of("node '" + std::string(arguments[1]) + "' '" + modules + "' < '" + list + "'");
  if (theirs.empty()) {
    std::cout << "node could not run the peer\n";
    return 1;
  }
  const int wrong = compare(theirs);
  std::cout << chord_kinds().size() << " kinds compared, " << wrong << " wrong\n";
  return wrong == 0 ? 0 : 1;
}
