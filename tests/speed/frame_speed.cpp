// tests/speed/frame_speed.cpp
// A frame without a window: what Dear ImGui and our screens cost the main thread, after short and
// long histories.
#include <initializer_list>
#include <memory>
#include <string>
#include <vector>

#include "tests/speed/ratio_table.h"
#include <benchmark/benchmark.h>
#include <imgui.h>

#include "app/engine/history.h"
#include "app/engine/now_state.h"
#include "app/screens/bench_screen.h"
#include "app/screens/state_document.h"
#include "app/window/picture.h"
#include "core/diagnosis/rule.h"
#include "core/midi/status.h"
#include "core/strum/stroke.h"

namespace {

using namespace strumwright;

constexpr std::int64_t ms = 1'000'000;
constexpr int notes_a_strum = 15;

/// A session of so many messages (a start and a release a note) that has just been strummed.
struct Session {
  explicit Session(std::int64_t messages);
  /// A note message of three bytes, as the wire and the parser show it.
  void add_message(std::int64_t t_ns, std::uint8_t note, std::uint8_t velocity);

  engine::Now now;
  engine::History history;
};

void fill_stroke(engine::StrokeAt& stroke, std::uint64_t serial, std::int64_t start_ns) {
  stroke.serial = serial;
  stroke.start_ns = start_ns;
  stroke.final = true;
  stroke.evenness = 0.89;
  std::vector<std::uint8_t> notes;
  for (int i = 0; i < notes_a_strum; ++i) {
    auto& tooth = stroke.teeth[stroke.tooth_count++];
    tooth.note = static_cast<std::uint8_t>(36 + (serial % 5) + i * 4);
    tooth.place = tooth.note;
    tooth.t_ns = start_ns + i * 4'460'000;
    notes.push_back(tooth.note);
    stroke.end_ns = tooth.t_ns;
  }
  stroke.span_ns = stroke.end_ns - stroke.start_ns;
  stroke.chord = harmony::name_chord(notes);
}

void Session::add_message(std::int64_t t_ns, std::uint8_t note, std::uint8_t velocity) {
  history.events.append({t_ns, midi::make_event(t_ns, 0x90, note, velocity, false, now.bytes), 0});
  for (const std::uint64_t byte :
       {std::uint64_t{0x90}, std::uint64_t{note}, std::uint64_t{velocity}}) {
    history.bytes.append({t_ns, now.bytes++ << 16U | byte});
    now.last_byte_ns = t_ns;
    t_ns += midi::byte_ns;
  }
}

Session::Session(std::int64_t messages) {
  now.first_byte_ns = 0;
  std::uint64_t serial = 0;
  std::int64_t t_ns = 0;
  for (std::int64_t sent = 0; sent < messages; sent += 2 * notes_a_strum) {
    engine::StrokeAt stroke;
    fill_stroke(stroke, ++serial, t_ns);
    for (int i = 0; i < stroke.tooth_count; ++i) {
      const auto& tooth = stroke.teeth[static_cast<std::size_t>(i)];
      engine::NoteSpan span;
      span.start_ns = tooth.t_ns;
      span.end_ns = tooth.t_ns + 350 * ms;
      span.note = tooth.note;
      history.notes.append(span);
      add_message(tooth.t_ns, tooth.note, 80);
    }
    for (int i = 0; i < stroke.tooth_count; ++i) {
      const auto& tooth = stroke.teeth[static_cast<std::size_t>(i)];
      add_message(tooth.t_ns + 350 * ms, tooth.note, 0);
    }
    history.strokes.append(stroke);
    history.chords.append({stroke.start_ns, stroke.chord, 0});
    history.load.append({t_ns / (100 * ms) * (100 * ms), 45, 0});
    now.stroke = stroke;
    t_ns += 500 * ms;
  }
  now.epoch = 1;
  now.t_ns = now.stroke.end_ns + 20 * ms;
  now.link = engine::Link::linked;
  now.raw = true;
  now.grade = wire::Grade::byte;
  now.chord = now.stroke.chord;
  now.note_starts = static_cast<std::uint64_t>(messages / 2);
  now.held_count = notes_a_strum;
  for (std::size_t i = 0; i < notes_a_strum; ++i) {
    now.held[i] = {{midi::Channel{0}, now.stroke.teeth[i].note}, 80, now.stroke.teeth[i].t_ns};
  }
  now.finding_count = engine::Now::most_findings;
  for (std::size_t i = 0; i < now.finding_count; ++i) {
    auto& finding = now.findings[i];
    finding.rule = i % 2 == 0 ? diagnosis::Rule::note_stuck : diagnosis::Rule::strum_doubled;
    finding.severity = diagnosis::text_of(finding.rule).severity;
    finding.channel = 1;
    finding.note = static_cast<std::uint8_t>(36 + i);
    finding.t_ns = now.t_ns - static_cast<std::int64_t>(i) * 1000 * ms;
    finding.decided_ns = finding.t_ns;
    history.findings.append({finding});
  }
  now.errors = 32;
  now.warnings = 32;
}

void frame(benchmark::State& state, screens::Area area, int messages, bool document) {
  const auto session = std::make_unique<Session>(messages);
  auto* context = ImGui::CreateContext();
  auto& io = ImGui::GetIO();
  io.IniFilename = nullptr;
  io.DisplaySize = {1280.0F, 800.0F};
  theme::Theme theme;
  theme.fonts = theme::Fonts::build(*io.Fonts, 1.0F);
  screens::Input input;
  input.window = {0.0F, 0.0F, 1280.0F, 800.0F};
  screens::Drawn drawn;
  screens::ViewState view;
  view.area = area;
  window::Picture picture;
  const screens::Snapshot snapshot{session->now, session->history, session->now.t_ns, true};
  std::size_t bytes = 0;
  for (auto _ : state) {
    drawn.clear();
    view.seconds += 1.0 / 60.0;
    ImGui::NewFrame();
    screens::Canvas canvas(*ImGui::GetBackgroundDrawList(), theme, input, drawn);
    screens::draw_bench(canvas, snapshot, view);
    ImGui::Render();
    picture.copy_from(*ImGui::GetDrawData());
    if (document) bytes += screens::state_document(snapshot, view, drawn, {1.0F, 0}).size();
    benchmark::DoNotOptimize(bytes);
  }
  state.counters["vertices"] = static_cast<double>(picture.vertices.size());
  ImGui::DestroyContext(context);
}

constexpr screens::Area areas[] = {screens::Area::hear, screens::Area::notes, screens::Area::wire};

std::string name_of(screens::Area area, int messages) {
  return std::string("frame/") + screens::text_of(area).name + "/" + std::to_string(messages);
}

void register_all() {
  for (const auto area : areas) {
    for (const int messages : {10'000, 1'000'000}) {
      benchmark::RegisterBenchmark(name_of(area, messages).c_str(), frame, area, messages, false)
          ->Unit(benchmark::kMillisecond)
          ->Repetitions(5);
    }
  }
  benchmark::RegisterBenchmark("frame_with_state/hear", frame, screens::Area::hear, 10'000, true)
      ->Unit(benchmark::kMillisecond)
      ->Repetitions(5);
}

void print_ratios(const speed::RatioTable& table) {
  for (const auto area : areas) {
    const double brief_ms = table.median_of(name_of(area, 10'000));
    const double long_ms = table.median_of(name_of(area, 1'000'000));
    const auto title = std::string(screens::text_of(area).title);
    speed::print_at_most((title + ": frame, ms of CPU").c_str(), long_ms, 1.0, 0.5);
    speed::print_at_most((title + ": 10^6 messages over 10^4").c_str(), long_ms, brief_ms, 1.3);
  }
}

}  // namespace

int main(int count, char** arguments) {
  benchmark::Initialize(&count, arguments);
  register_all();
  speed::RatioTable table;
  benchmark::RunSpecifiedBenchmarks(&table);
  print_ratios(table);
}
