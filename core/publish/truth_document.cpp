// core/publish/truth_document.cpp
#include "core/publish/truth_document.h"

#include "core/diagnosis/rule.h"
#include "core/publish/json_writer.h"
#include "core/simulation/heron.h"

namespace strumwright::publish {
namespace {

void write_stroke(const simulation::StrokeTruth& stroke, JsonWriter& json) {
  json.begin_object();
  json.member("t_ns", stroke.t_ns);
  json.member("direction", stroke.up ? "up" : "down");
  json.key("buttons");
  json.begin_array();
  for (const auto button : simulation::Heron::button_names(stroke.combination)) json.value(button);
  json.end_array();
  json.key("strings");
  json.begin_array();
  for (const auto string : stroke.strings) json.value(string);
  json.end_array();
  json.end_object();
}

void write_fault(const simulation::FaultTruth& fault, JsonWriter& json) {
  json.begin_object();
  json.member("rule", diagnosis::text_of(fault.rule).name);
  json.member("t_ns", fault.t_ns);
  json.member("note", fault.note);
  json.member("string", fault.string);
  json.end_object();
}

}  // namespace

std::string truth_document(std::uint64_t seed, const simulation::Simulator& simulator) {
  std::string text;
  JsonWriter json(text);
  json.begin_object();
  json.member("seed", seed);
  json.key("strokes");
  json.begin_array();
  for (const auto& stroke : simulator.truth().strokes) write_stroke(stroke, json);
  json.end_array();
  json.key("faults");
  json.begin_array();
  for (const auto& fault : simulator.truth().faults) write_fault(fault, json);
  json.end_array();
  json.member("bytes", simulator.bytes());
  json.end_object();
  return text + '\n';
}

}  // namespace strumwright::publish
