// app/screens/notes_findings.cpp
#include "app/screens/notes_findings.h"

#include <algorithm>
#include <array>
#include <string>

#include "app/screens/finding_excerpt.h"
#include "app/screens/parts/figures.h"
#include "app/screens/parts/marks.h"
#include "app/screens/parts/panel.h"
#include "core/diagnosis/finding_text.h"

namespace strumwright::screens {

using diagnosis::Finding;

namespace {

constexpr float side_by_side = 620.0F;  // narrower, the evidence stands below the list
constexpr float least_height = 104.0F;  // of list and evidence one above the other
constexpr float name_width = 88.0F;     // of "Likely cause"

/// The group that the evidence tells of.
std::size_t chosen_row(const std::vector<FindingGroup>& groups,
                       const std::optional<Finding>& picked) {
  if (!picked) return 0;
  for (std::size_t i = 0; i < groups.size(); ++i) {
    if (group_key(groups[i].newest) == group_key(*picked)) return i;
  }
  return 0;
}

/// Up and Down.
std::optional<Finding> take_steps(const Canvas& canvas, const std::vector<FindingGroup>& groups,
                                  const std::optional<Finding>& picked) {
  const auto& keys = canvas.input().keys;
  const int step = presses(keys, key::down) - presses(keys, key::up);
  if (step == 0 || groups.empty()) return std::nullopt;
  // A choice moves its group to the top of the order, so steps go by what is newer and older.
  std::vector<const Finding*> by_time;
  by_time.reserve(groups.size());
  for (const auto& group : groups) by_time.push_back(&group.newest);
  std::sort(by_time.begin(), by_time.end(), [](const Finding* a, const Finding* b) {
    return a->t_ns != b->t_ns ? a->t_ns > b->t_ns : group_key(*a) < group_key(*b);
  });
  if (!picked) return *by_time.front();
  const auto found = std::find_if(by_time.begin(), by_time.end(), [&](const Finding* one) {
    return group_key(*one) == group_key(*picked);
  });
  const auto at = found == by_time.end() ? 0 : found - by_time.begin();
  const auto last = static_cast<std::ptrdiff_t>(by_time.size()) - 1;
  return *by_time[static_cast<std::size_t>(std::clamp<std::ptrdiff_t>(at + step, 0, last))];
}

/// Left and Right: the others of the same kind.
std::optional<Finding> take_kind_steps(const Canvas& canvas, const Snapshot& snapshot,
                                       const Finding& chosen) {
  const auto& keys = canvas.input().keys;
  const int step = presses(keys, key::right) - presses(keys, key::left);
  if (step == 0) return std::nullopt;
  return FindingBook::neighbour(snapshot.history, chosen, step);
}

/// "316×", or nothing for a single one.
std::string times_text(const FindingGroup& group) {
  return group.count > 1 ? count_text(group.count) + "×" : std::string();
}

/// `times`: the room that the counts of all rows need.
void draw_row(Canvas& canvas, const Box& row, const FindingGroup& group, bool chosen, float times) {
  const auto& palette = canvas.palette();
  if (chosen || canvas.hovers(row)) canvas.fill(row, palette.raised, theme::radius);
  if (chosen) canvas.fill({row.x, row.y + 2.0F, 3.0F, row.h - 4.0F}, palette.brass, 1.5F);
  const float baseline = row.y + 16.5F;
  draw_mark(canvas, mark_of(group.newest.severity), {row.x + 16.0F, row.centre().y}, 5.2F);
  float x = row.x + 32.0F;
  const auto grey = with_colour(plain(canvas), palette.ink2);
  if (row.w >= 280.0F) {
    canvas.text({x, baseline}, time_text(group.newest.t_ns), grey);
    x += 60.0F;
  }
  canvas.text({x + times, baseline}, times_text(group), grey, Align::right);
  x += times + (times > 0.0F ? 10.0F : 0.0F);
  float right = row.right() - 8.0F;
  if (group.going_on && row.w >= 360.0F) {
    const auto style = with_colour(second(canvas), palette.error_text);
    right -= canvas.text({right, baseline}, "going on", style, Align::right) + 10.0F;
  }
  const auto words = diagnosis::short_text_of(group.newest, diagnosis::Signs::real);
  const auto style = chosen ? strong(canvas) : plain(canvas);
  canvas.text({x, baseline}, canvas.shortened(words, style, right - x), style);
}

std::optional<Finding> draw_rows(Canvas& canvas, const Box& list,
                                 const std::vector<FindingGroup>& groups, std::size_t chosen,
                                 NotesView& view) {
  const int fits = std::max(1, static_cast<int>((list.h + 4.0F) / theme::row_height));
  const int most = std::max(0, static_cast<int>(groups.size()) - fits);
  if (canvas.hovers(list)) view.first_row -= static_cast<int>(canvas.input().wheel);
  view.first_row = std::clamp(view.first_row, 0, most);
  std::optional<Finding> clicked;
  float times = 0.0F;
  for (const auto& group : groups) {
    times = std::max(times, canvas.width(times_text(group), plain(canvas)));
  }
  Box row{list.x, list.y, list.w, theme::row_height};
  for (int i = view.first_row;
       i < std::min<int>(view.first_row + fits, static_cast<int>(groups.size()));
       ++i, row.y += theme::row_height) {
    const auto at = static_cast<std::size_t>(i);
    draw_row(canvas, row, groups[at], at == chosen, times);
    const auto id = "finding." + std::to_string(i);
    if (canvas.target(id, {row.x, row.y + 1.0F, row.w, row.h - 2.0F})) clicked = groups[at].newest;
  }
  return clicked;
}

/// A named line: the name in the third ink, its text wrapped beside it. Returns the next baseline.
float draw_named(Canvas& canvas, Point at, float right, const char* name, std::string_view text,
                 int most_lines) {
  canvas.text(at, name, label(canvas));
  const float left = at.x + name_width;
  return canvas.paragraph({left, at.y}, right - left, text, second(canvas), most_lines) + 2.0F;
}

/// How many lines of 16 units stand above `foot` from `baseline` on, at least one.
int lines_to(float baseline, float foot) {
  return std::max(1, static_cast<int>((foot - baseline) / 16.2F) + 1);
}

/// What the rule is called, and how to come to the others of the kind.
void draw_heading(Canvas& canvas, const Box& box, const Finding& finding, std::uint64_t count) {
  const auto& rule = diagnosis::text_of(finding.rule);
  const float used = canvas.text(
      {box.x, box.y + 14.0F}, canvas.shortened(rule.title, strong(canvas), box.w), strong(canvas));
  if (count < 2) return;
  const auto many = count_text(count);
  canvas.first_fit({box.right(), box.y + 14.0F}, box.w - used - 12.0F,
                   {"Left and Right step through the " + many, "Left, Right: " + many},
                   label(canvas), Align::right);
}

void draw_evidence(Canvas& canvas, const Box& box, const Finding& finding) {
  const auto& rule = diagnosis::text_of(finding.rule);
  const auto grey = with_colour(second(canvas), canvas.palette().ink2);
  float y = box.y + 34.0F;
  if (y > box.bottom()) return;
  const auto told = diagnosis::text_of(finding, diagnosis::Signs::real);
  y = canvas.paragraph({box.x, y}, box.w, told, grey, std::min(3, lines_to(y, box.bottom()))) +
      4.0F;
  if (y > box.bottom()) return;
  if (!rule.causes.empty()) {
    const int most = std::min(2, lines_to(y, box.bottom()));
    y = draw_named(canvas, {box.x, y}, box.right(), "Likely cause", rule.causes.front(), most);
  }
  if (y > box.bottom()) return;
  draw_named(canvas, {box.x, y}, box.right(), "Do this", rule.next, lines_to(y, box.bottom()));
}

/// Everything that the catalogue says of the rule, and the doubt if there is one.
void draw_explanation(Canvas& canvas, const Box& box, const Finding& finding) {
  const auto& rule = diagnosis::text_of(finding.rule);
  const auto told = diagnosis::text_of(finding, diagnosis::Signs::real);
  float y = box.y + 34.0F;
  const auto row = [&](const char* name, std::string_view text) {
    if (y <= box.bottom()) {
      y = draw_named(canvas, {box.x, y}, box.right(), name, text, lines_to(y, box.bottom()));
    }
  };
  row("Here", told);
  row("Means", rule.meaning);
  for (std::size_t i = 0; i < rule.causes.size(); ++i) {
    row(i == 0 ? "Causes" : "", rule.causes[i]);
  }
  row("Do this", rule.next);
  if (const char* doubt = diagnosis::doubt_text(finding.doubt)) row("Doubt", doubt);
  row("Rule", std::string(rule.name) + ", " + diagnosis::to_text(finding.severity));
}

struct Button {
  const char* id;
  const char* word;
  const char* key;
  int code;
};
constexpr std::array<Button, 3> buttons = {{{"notes.show-bytes", "Show bytes", "W", 'W'},
                                            {"notes.copy", "Copy excerpt", "C", 'C'},
                                            {"notes.explain", "Explain", "E", 'E'}}};

/// Which of the buttons were chosen by click or key.
std::array<bool, 3> draw_buttons(Canvas& canvas, const Box& row) {
  std::array<bool, 3> chosen{};
  const auto total = [&](bool keys) {
    float sum = 0.0F;
    for (const auto& button : buttons) {
      sum += button_width(canvas, button.word, keys ? button.key : "") + 8.0F;
    }
    return sum - 8.0F;
  };
  const bool keys = total(true) <= row.w;
  float x = row.x;
  for (std::size_t i = 0; i < buttons.size(); ++i) {
    const auto& button = buttons[i];
    const float wide = button_width(canvas, button.word, keys ? button.key : "");
    if (x + wide <= row.right() + 0.5F) {
      chosen[i] = draw_button(canvas, button.id, {x, row.y, wide, row.h}, button.word,
                              keys ? button.key : "");
    }
    x += wide + 8.0F;
    chosen[i] = chosen[i] || presses(canvas.input().keys, button.code) % 2 == 1;
  }
  return chosen;
}

Intents draw_chosen(Canvas& canvas, const Box& box, const Snapshot& snapshot,
                    const Finding& finding, std::uint64_t count, NotesView& view) {
  Intents intents;
  const Box row{box.x, box.bottom() - theme::button_height + 2.0F, box.w, theme::button_height};
  const Box words{box.x, box.y, box.w, row.y - box.y - 8.0F};
  const auto chosen = draw_buttons(canvas, row);
  draw_heading(canvas, words, finding, count);
  (view.explain ? draw_explanation : draw_evidence)(canvas, words, finding);
  if (chosen[0]) {
    intents.go = Area::wire;
    intents.pin_ns = finding.t_ns;
  }
  if (chosen[1]) intents.copy = finding_excerpt(snapshot, finding);
  if (chosen[2]) view.explain = !view.explain;
  return intents;
}

void draw_none(Canvas& canvas, const Box& inside) {
  draw_mark(canvas, Mark::in_order, {inside.x + 8.0F, inside.y + 10.0F}, 6.0F);
  canvas.paragraph({inside.x + 24.0F, inside.y + 15.0F}, inside.w - 24.0F,
                   "None so far. What goes wrong is listed here with its cause and what to do.",
                   with_colour(plain(canvas), canvas.palette().ink2), 3);
}

}  // namespace

Intents draw_findings_panel(Canvas& canvas, const Box& box, const Snapshot& snapshot,
                            const std::optional<Finding>& picked,
                            const std::vector<FindingGroup>& groups, NotesView& view) {
  const auto kinds = groups.empty() ? std::string() : counted(groups.size(), "kind");
  const bool beside = box.w >= side_by_side;
  const float list_width = beside ? std::clamp(box.w * 0.43F, 330.0F, 620.0F) : box.w;
  constexpr const char* order = "pinned, still going on, worst, newest";
  // Beside the list the evidence begins at the height of the head.
  const bool hint = !beside || canvas.width(order, label(canvas)) + 100.0F < list_width;
  const Box inside = draw_panel(canvas, box, {"Findings", hint ? order : "", beside ? "" : kinds});
  if (groups.empty()) {
    draw_none(canvas, inside);
    return {};
  }
  Intents intents;
  const auto chosen = chosen_row(groups, picked);
  // In the smallest windows the list stands alone.
  const bool evidence = beside || inside.h >= least_height;
  const float list_height =
      beside || !evidence ? inside.h + 8.0F : std::max(theme::row_height, inside.h * 0.3F);
  const Box list{inside.x - 6.0F, inside.y - 4.0F, list_width - 12.0F, list_height};
  const auto clicked = draw_rows(canvas, list, groups, chosen, view);
  intents.open_finding = clicked ? clicked : take_steps(canvas, groups, picked);
  if (!evidence) return intents;
  Box words{list.right() + 28.0F, box.y + 10.0F, 0.0F, inside.bottom() - box.y - 10.0F};
  if (!beside)
    words = {inside.x, list.bottom() + 4.0F, 0.0F, inside.bottom() - list.bottom() - 4.0F};
  words.w = inside.right() - words.x;
  if (beside)
    canvas.hairline({words.x - 14.0F, box.y + 12.0F}, {words.x - 14.0F, box.bottom() - 12.0F});
  // The finding that was picked itself, not the newest of its kind.
  const bool own = picked && group_key(groups[chosen].newest) == group_key(*picked);
  const auto& group = groups[chosen];
  const auto& finding = own ? *picked : group.newest;
  if (!intents.open_finding) {
    intents.open_finding = take_kind_steps(canvas, snapshot, finding);
  }
  intents.add(draw_chosen(canvas, words, snapshot, finding, group.count, view));
  return intents;
}

}  // namespace strumwright::screens
