// app/screens/notes_held.cpp
#include "app/screens/notes_held.h"

#include <algorithm>
#include <string>

#include "app/screens/parts/chord_text.h"
#include "app/screens/parts/figures.h"
#include "app/screens/parts/marks.h"
#include "app/screens/parts/panel.h"

namespace strumwright::screens {

namespace {

constexpr float hint_height = 18.0F;
constexpr float second_line = 16.0F;

/// Right edges of the columns of numbers.
struct Columns {
  float note, channel, since, held;
};

Columns columns_of(const Box& inside) {
  const float held = inside.right();
  const float since = held - std::clamp(inside.w * 0.3F, 56.0F, 70.0F);
  return {inside.x + 20.0F, since - 66.0F, since, held};
}

void draw_heads(Canvas& canvas, const Columns& at, float baseline, bool channels) {
  canvas.text({at.note, baseline}, "note", label(canvas));
  if (channels) canvas.text({at.channel, baseline}, "ch", label(canvas), Align::right);
  canvas.text({at.since, baseline}, "since", label(canvas), Align::right);
  canvas.text({at.held, baseline}, "held", label(canvas), Align::right);
}

std::string held_text(std::int64_t held_ns) {
  const double held_s = static_cast<double>(held_ns) / 1e9;
  return held_s < 600.0 ? number_text(held_s, 1) + " s" : number_text(held_s / 60.0, 0) + " min";
}

void draw_row(Canvas& canvas, const Columns& at, float baseline, const NoteBar& bar,
              const HeldList& list) {
  if (bar.hangs) draw_mark(canvas, Mark::error, {at.note - 14.0F, baseline - 5.0F}, 5.2F);
  canvas.text({at.note, baseline}, note_name(bar.note), strong(canvas));
  const auto grey = with_colour(plain(canvas), canvas.palette().ink2);
  if (list.channels) {
    canvas.text({at.channel, baseline}, std::to_string(bar.channel + 1), grey, Align::right);
  }
  canvas.text({at.since, baseline}, time_text(bar.start_ns), grey, Align::right);
  canvas.text({at.held, baseline}, held_text(list.at_ns - bar.start_ns), plain(canvas),
              Align::right);
}

/// "14 more, held under 5 s", or that nothing is down.
std::string rest_text(const HeldList& list, std::size_t shown) {
  const auto hidden = list.named.size() - shown;
  if (hidden > 0) return count_text(list.others + hidden) + " more";
  if (list.others > 0) {
    const auto notes = shown > 0 ? count_text(list.others) + " more" : counted(list.others, "note");
    return notes + ", held under 5 s";
  }
  if (shown > 0) return {};
  return list.pinned ? "No note was down." : "No note is down.";
}

void draw_rest(Canvas& canvas, const Box& inside, float baseline, const HeldList& list,
               std::size_t shown) {
  const auto text = rest_text(list, shown);
  const bool any = list.others > 0 || shown < list.named.size();
  float left = inside.x;
  if (any) {
    canvas.disc({inside.x + 6.0F, baseline - 4.5F}, 4.2F, canvas.palette().brass);
    left += 20.0F;
  }
  canvas.first_fit({left, baseline}, inside.right() - left, {text}, second(canvas));
}

/// The button at the foot, or why there is none; returns where it begins.
float draw_release(Canvas& canvas, const Box& inside, bool can_release, bool& chosen) {
  if (!can_release) {
    canvas.first_fit({inside.x, inside.bottom() + 1.0F}, inside.w,
                     {"no output is open to release them on", "no output is open"}, second(canvas));
    return inside.bottom() - hint_height;
  }
  const bool hint = inside.h >= 150.0F;
  const float foot = inside.bottom() + 2.0F - (hint ? hint_height : 0.0F);
  const Box button{inside.x, foot - theme::button_height, inside.w, theme::button_height};
  chosen = draw_button(canvas, "release-all", button, "Release all", "Esc", ButtonLook::main);
  if (hint) {
    canvas.first_fit({inside.x, inside.bottom() + 1.0F}, inside.w,
                     {"to every output that is open", "to open outputs"}, second(canvas));
  }
  return button.y;
}

}  // namespace

HeldList held_list(const Snapshot& snapshot, const Moment& moment, const FindingBook& book,
                   SoundingAt& at_moment) {
  HeldList list;
  list.at_ns = moment.at(snapshot);
  list.pinned = moment.pinned();
  list.can_release = snapshot.can_release;
  auto bars = bars_at(snapshot, book, at_moment, list.at_ns);
  list.channels = std::any_of(bars.begin(), bars.end(), [&](const NoteBar& bar) {
    return bar.channel != bars.front().channel;
  });
  std::stable_partition(bars.begin(), bars.end(), [](const NoteBar& bar) { return bar.hangs; });
  for (const auto& bar : bars) {
    const bool named = bar.hangs || list.at_ns - bar.start_ns > long_held_ns;
    if (named) {
      list.named.push_back(bar);
    } else {
      ++list.others;
    }
  }
  return list;
}

bool draw_held_panel(Canvas& canvas, const Box& box, const HeldList& held) {
  const auto total = counted(held.others + held.named.size(), "note");
  const auto heading = held.pinned ? "Held at " + time_text(held.at_ns) : std::string("Held now");
  const Box inside = draw_panel(canvas, box, {heading, {}, total});
  bool chosen = false;
  const float foot = draw_release(canvas, inside, held.can_release, chosen);
  const float room = foot - inside.y - second_line - 10.0F;
  if (room < 0.0F) return chosen;
  float baseline = inside.y + 14.0F;
  std::size_t shown = 0;
  const bool heads = !held.named.empty() && room >= 2.0F * theme::row_height;
  if (heads) {
    const auto at = columns_of(inside);
    draw_heads(canvas, at, baseline, held.channels);
    baseline += theme::row_height;
    const auto most = static_cast<std::size_t>((room - theme::row_height) / theme::row_height);
    for (; shown < std::min(most, held.named.size()); ++shown, baseline += theme::row_height) {
      draw_row(canvas, at, baseline, held.named[shown], held);
    }
  }
  draw_rest(canvas, inside, baseline, held, shown);
  return chosen;
}

}  // namespace strumwright::screens
