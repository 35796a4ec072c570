// app/screens/wire_cells.cpp
#include "app/screens/wire_cells.h"

#include <algorithm>
#include <cmath>
#include <vector>

#include "app/screens/parts/figures.h"
#include "app/screens/parts/message_text.h"
#include "app/screens/parts/panel.h"
#include "app/screens/parts/time_axis.h"
#include "core/diagnosis/figures.h"
#include "core/midi/status.h"

namespace strumwright::screens {

using midi::Code;
using theme::Colour;

namespace {

constexpr float half_cell = 11.0F;
constexpr float real_time_width = 8.0F;
constexpr std::int64_t gap_shown_ns = 1'200'000;
constexpr float label_pitch = 56.0F;  // rows that have room for labels
constexpr float label_drop = 25.0F;   // from the axis to the baseline of a message's label

Style hex_style(Colour colour) { return {theme::label_size, theme::Face::mono, colour}; }

struct CellLook {
  Colour ground, ink;
};

CellLook look_of(const Canvas& canvas, ByteRole role, bool whole) {
  const auto& palette = canvas.palette();
  CellLook look{theme::mixed(palette.panel, palette.brass, 0.30), palette.ink};
  if (role == ByteRole::status) look = {palette.brass, palette.on_brass};
  if (role == ByteRole::sysex) look.ground = theme::mixed(palette.panel, palette.info, 0.36);
  if (role == ByteRole::real_time) look = {palette.info, palette.ink};
  if (role == ByteRole::stray) look.ground = theme::mixed(palette.panel, palette.error, 0.24);
  if (!whole) return look;
  return {theme::mixed(palette.panel, look.ground, 0.42), palette.ink2};
}

/// So many dashes a side, whatever its length: a page may have hundreds of ghosts.
void draw_dashed_side(Canvas& canvas, Point a, Point b, Colour colour, int dashes) {
  const float length = std::max(b.x - a.x, b.y - a.y);
  const float step = length / (static_cast<float>(dashes) - 0.4F);
  canvas.dashes(a, b, colour, step * 0.6F, step * 0.4F);
}

void draw_dashed_box(Canvas& canvas, const Box& box, Colour colour) {
  const int across = box.w < 40.0F ? 4 : 8;
  draw_dashed_side(canvas, {box.x, box.y}, {box.right(), box.y}, colour, across);
  draw_dashed_side(canvas, {box.x, box.bottom()}, {box.right(), box.bottom()}, colour, across);
  draw_dashed_side(canvas, {box.x, box.y}, {box.x, box.bottom()}, colour, 4);
  draw_dashed_side(canvas, {box.right(), box.y}, {box.right(), box.bottom()}, colour, 4);
}

/// In ms, as the legend says; long ones with their own unit.
std::string gap_text(std::int64_t gap_ns) {
  if (gap_ns < 10'000'000'000) return number_text(static_cast<double>(gap_ns) / 1e6, 1);
  return duration_text(gap_ns);
}

/// Draws one ribbon: knows where each byte stands and which room is taken.
class CellPainter {
 public:
  CellPainter(Canvas& canvas, const RibbonCells& cells)
      : canvas_(canvas),
        cells_(cells),
        byte_width_(cells.rows.byte_width()),
        digits_(byte_width_ >= readable_byte - 1.0F) {}

  int draw();

 private:
  /// Where a text stands in a row.
  struct Taken {
    int row;
    float left, right;
  };
  [[nodiscard]] const PageByte& byte(int i) const {
    return cells_.page.bytes[static_cast<std::size_t>(i)];
  }
  [[nodiscard]] int size() const { return static_cast<int>(cells_.page.bytes.size()); }
  [[nodiscard]] int row(int i) const { return cells_.rows.row_of(byte(i).place_ns); }
  [[nodiscard]] float x(int i) const { return cells_.rows.x_of(byte(i).place_ns); }
  [[nodiscard]] float y(int i) const { return cells_.rows.y_of(row(i)); }
  [[nodiscard]] bool has_labels() const { return cells_.rows.pitch >= label_pitch; }
  [[nodiscard]] const PageMessage* message_of(int i) const {
    const int at = byte(i).message;
    return at < 0 ? nullptr : &cells_.page.messages[static_cast<std::size_t>(at)];
  }
  /// Whether the byte begins a message that left out its status.
  [[nodiscard]] bool has_ghost(int i) const {
    const auto* message = message_of(i);
    return message != nullptr && message->first == i && message->runs() &&
           byte(i).index == message->event.byte();
  }
  [[nodiscard]] Box cell(int i) const;
  [[nodiscard]] Box ghost(int i) const;
  /// Where the room ends that begins at byte `i` in its row: at the next cell or its ghost.
  [[nodiscard]] float room_after(int i) const;

  /// Room for a label in a row; false if another stands there.
  static bool take(std::vector<Taken>& labels, int row, float left, float right);

  void draw_cell(int i);
  void draw_ghost(int i);
  void draw_gap(int i);
  void draw_label(const PageMessage& message);
  void draw_reason(const PageMessage& message);

  Canvas& canvas_;
  const RibbonCells& cells_;
  float byte_width_;
  bool digits_;
  std::vector<Taken> below_;  // labels below the axes, so far
  std::vector<Taken> above_;  // and reasons above them
};

Box CellPainter::cell(int i) const {
  const auto& one = byte(i);
  const float middle = y(i);
  if (one.role == ByteRole::real_time) {
    const float wide = std::min(real_time_width, byte_width_ * 0.8F);
    return {x(i), middle - 16.0F, wide, 32.0F};
  }
  const float raise = one.role == ByteRole::stray ? half_cell : 0.0F;
  return {x(i) + 0.5F, middle - half_cell - raise, std::max(1.0F, byte_width_ - 1.0F),
          2.0F * half_cell};
}

Box CellPainter::ghost(int i) const {
  const float left = x(i) - byte_width_;
  // Raised by half, or clear of the byte before where that leaves no gap.
  const bool close = i > 0 && row(i - 1) == row(i) && x(i - 1) + byte_width_ > left + 1.0F;
  const float top = y(i) - (close ? 3.0F : 2.0F) * half_cell - (close ? 1.5F : 0.0F);
  return {left + 0.5F, top, std::max(1.0F, byte_width_ - 1.0F), 2.0F * half_cell};
}

float CellPainter::room_after(int i) const {
  const float end = cells_.rows.plot.right() + 12.0F;
  if (i + 1 >= size() || row(i + 1) != row(i)) return end;
  return has_ghost(i + 1) ? ghost(i + 1).x : cell(i + 1).x;
}

void CellPainter::draw_cell(int i) {
  const auto& one = byte(i);
  const auto box = cell(i);
  const auto look = look_of(canvas_, one.role, cells_.whole);
  const float radius = byte_width_ > 8.0F ? 2.0F : 0.0F;
  canvas_.fill(box, look.ground, radius);
  if (one.role == ByteRole::stray) {
    const auto colour = canvas_.palette().error_text;
    canvas_.outline(box, colour, 1.4F, radius);
    canvas_.dashes({box.centre().x, box.bottom()}, {box.centre().x, box.bottom() + 12.0F}, colour,
                   2.0F, 2.0F);
  }
  if (!digits_ || one.role == ByteRole::real_time) return;
  canvas_.text({box.centre().x, box.centre().y + 4.5F}, diagnosis::hex_text(one.value),
               hex_style(look.ink), Align::centre);
}

void CellPainter::draw_ghost(int i) {
  const auto box = ghost(i);
  if (box.x < cells_.rows.plot.x - byte_width_ - 2.0F) return;
  const auto& palette = canvas_.palette();
  if (!digits_) return canvas_.outline(box, palette.edge, 1.0F);
  draw_dashed_box(canvas_, box, palette.edge);
  canvas_.text({box.centre().x, box.centre().y + 4.5F},
               diagnosis::hex_text(message_of(i)->event.code()), hex_style(palette.ink3),
               Align::centre);
}

/// The silence before a byte, where it is long enough to be told, in the row that has most of it.
void CellPainter::draw_gap(int i) {
  if (i == 0 && !cells_.page.before_ns) return;
  const auto& rows = cells_.rows;
  const std::int64_t from_ns =
      (i == 0 ? *cells_.page.before_ns : byte(i - 1).place_ns) + midi::byte_ns;
  const std::int64_t to_ns = byte(i).place_ns;
  if (to_ns - from_ns < gap_shown_ns) return;
  Box widest;
  for (int at = std::max(0, rows.row_of(from_ns)); at <= row(i); ++at) {
    const float left = at == rows.row_of(from_ns) ? rows.x_of(from_ns) : rows.plot.x;
    const float right = at < row(i) ? rows.plot.right() : has_ghost(i) ? ghost(i).x : x(i);
    if (right - left > widest.w) widest = {left, rows.y_of(at), right - left, 0.0F};
  }
  const auto text = gap_text(to_ns - from_ns);
  const auto style = second(canvas_);
  const float wide = canvas_.width(text, style) + 8.0F;
  if (widest.w < wide + 4.0F) return;
  const float centre = widest.centre().x;
  canvas_.fill({centre - wide / 2.0F, widest.y - 7.0F, wide, 14.0F}, canvas_.palette().panel);
  canvas_.text({centre, widest.y + 4.5F}, text, style, Align::centre);
}

bool CellPainter::take(std::vector<Taken>& labels, int row, float left, float right) {
  // Messages come in order, so that only the newest few can be near.
  const auto near = std::min<std::size_t>(labels.size(), 8);
  const bool free = std::none_of(
      labels.end() - static_cast<std::ptrdiff_t>(near), labels.end(), [&](const Taken& other) {
        return other.row == row && left < other.right + 6.0F && other.left < right + 6.0F;
      });
  if (free) labels.push_back({row, left, right});
  return free;
}

void CellPainter::draw_label(const PageMessage& message) {
  const int first = message.first;
  const auto role = byte(first).role;
  if (role == ByteRole::stray) return;
  const bool blue = role == ByteRole::real_time || role == ByteRole::sysex;
  int last = first;
  while (last < message.last && row(last + 1) == row(first)) ++last;
  const auto style = blue ? with_colour(second(canvas_), canvas_.palette().info) : second(canvas_);
  const auto text = message_label(message.event);
  const float wide = canvas_.width(text, style);
  const auto& plot = cells_.rows.plot;
  const float centre = std::clamp((cell(first).x + cell(last).right()) / 2.0F, plot.x + wide / 2.0F,
                                  plot.right() + 12.0F - wide / 2.0F);
  if (!take(below_, row(first), centre - wide / 2.0F, centre + wide / 2.0F)) return;
  canvas_.text({centre, y(first) + label_drop}, text, style, Align::centre);
}

const char* reason_of(const midi::Event& event) {
  switch (static_cast<Code>(event.code())) {
    case Code::stray:
      return "stray: no status in force";
    case Code::joined:
      return "listening began in mid-message";
    case Code::text:
      return "reads as printed text";
    case Code::cut_short:
      return "broken off: data missing";
    case Code::undefined:
      return "undefined status";
    case Code::eox_alone:
      return "F7 that ends nothing";
    case Code::sysex_open:
      return "SysEx without its F7";
    case Code::count:
      break;
  }
  return "";
}

/// Why bytes belong to nothing, to the right of them or, without room there, below.
void CellPainter::draw_reason(const PageMessage& message) {
  if (message.event.is_message()) return;
  const std::string reason = reason_of(message.event);
  const auto brief = reason.substr(0, reason.find(':'));
  const Style style{theme::label_size, theme::Face::bold, canvas_.palette().error_text};
  int last = message.first;
  while (last < message.last && row(last + 1) == row(message.first)) ++last;
  const auto box = cell(last);
  const float left = box.right() + 8.0F;
  const float room = room_after(last) - left - 4.0F;
  for (const auto& text : {reason, brief}) {
    const float wide = canvas_.width(text, style);
    if (wide > room || !take(above_, row(last), left, left + wide)) continue;
    canvas_.text({left, y(last) - half_cell + 4.5F}, text, style);
    return;
  }
  const float under = cell(message.first).x;
  const float wide = canvas_.width(brief, style);
  if (!has_labels() || under + wide > cells_.rows.plot.right() + 12.0F) return;
  if (take(below_, row(last), under, under + wide)) {
    canvas_.text({under, y(last) + label_drop}, brief, style);
  }
}

int CellPainter::draw() {
  int under = -1;
  for (int i = 0; i < size(); ++i) {
    if (row(i) < 0 || row(i) >= cells_.rows.count) continue;
    draw_gap(i);
    draw_cell(i);
    if (has_ghost(i) && !cells_.whole) draw_ghost(i);
    if (canvas_.hovers(cell(i)) || (has_ghost(i) && canvas_.hovers(ghost(i)))) under = i;
  }
  for (const auto& message : cells_.page.messages) {
    if (row(message.first) < 0 || row(message.first) >= cells_.rows.count) continue;
    if (digits_ && has_labels()) draw_label(message);
    draw_reason(message);
  }
  return under;
}

std::string row_label(const RibbonRows& rows, int row) {
  const double ms = static_cast<double>(rows.row_ns) * row / 1e6;
  return rows.row_ns < 1'000'000'000 ? number_text(ms, 0) : number_text(ms / 1e3, 1);
}

}  // namespace

void draw_row_axes(Canvas& canvas, const RibbonRows& rows) {
  const auto& plot = rows.plot;
  const float tick_step = plot.w / 8.0F;
  for (int row = 0; row < rows.count; ++row) {
    const float y = rows.y_of(row);
    canvas.line({plot.x, y}, {plot.right(), y}, canvas.palette().edge, 1.0F);
    for (int tick = 0; tick <= 8; ++tick) {
      const float x = plot.x + tick_step * static_cast<float>(tick);
      canvas.line({x, y - 3.0F}, {x, y + 3.0F}, canvas.palette().edge, 1.0F);
    }
    canvas.text({plot.x - 12.0F, y + 4.5F}, row_label(rows, row), label(canvas), Align::right);
  }
  if (rows.pitch < label_pitch) return;
  canvas.text({plot.x - 12.0F, rows.y_of(0) - 13.0F}, rows.row_ns < 1'000'000'000 ? "ms" : "s",
              label(canvas), Align::right);
}

int draw_cells(Canvas& canvas, const RibbonCells& cells) {
  return CellPainter(canvas, cells).draw();
}

void draw_cell_sample(Canvas& canvas, const Box& box, ByteRole role, bool whole) {
  const auto look = look_of(canvas, role, whole);
  if (role == ByteRole::real_time) {
    return canvas.fill({box.centre().x - 3.0F, box.y, 6.0F, box.h}, look.ground);
  }
  canvas.fill(box, look.ground, 2.0F);
  if (role == ByteRole::stray) canvas.outline(box, canvas.palette().error_text, 1.4F, 2.0F);
}

void draw_ghost_sample(Canvas& canvas, const Box& box) {
  draw_dashed_box(canvas, box, canvas.palette().edge);
}

void draw_columns(Canvas& canvas, const RibbonCells& cells) {
  constexpr std::int64_t slot_ns = 1'000'000;
  constexpr float least_column = 2.0F;
  const auto& rows = cells.rows;
  const double units_a_slot =
      static_cast<double>(rows.plot.w) * slot_ns / static_cast<double>(rows.row_ns);
  const auto slots =
      static_cast<std::int64_t>(std::ceil(static_cast<double>(least_column) / units_a_slot));
  const std::int64_t column_ns = slot_ns * std::max<std::int64_t>(1, slots);
  const float wide =
      std::max(1.0F, rows.plot.w * static_cast<float>(static_cast<double>(column_ns) /
                                                      static_cast<double>(rows.row_ns)) -
                         0.5F);
  const float full = rows.pitch * 0.56F / 3.125F;  // bytes a millisecond that a full line carries
  const auto& palette = canvas.palette();
  std::vector<std::uint16_t> counts(static_cast<std::size_t>(rows.page_ns() / slot_ns + 1));
  std::vector<bool> faults(counts.size());
  for (const auto& byte : cells.page.bytes) {
    const auto slot = static_cast<std::size_t>((byte.t_ns - rows.from_ns) / slot_ns);
    if (slot >= counts.size()) continue;
    ++counts[slot];
    if (byte.role == ByteRole::stray) faults[slot] = true;
  }
  const auto step = static_cast<std::size_t>(column_ns / slot_ns);
  for (std::size_t slot = 0; slot + step <= counts.size(); slot += step) {
    const auto first = counts.begin() + static_cast<std::ptrdiff_t>(slot);
    const auto [least, most] =
        std::minmax_element(first, first + static_cast<std::ptrdiff_t>(step));
    if (*most == 0) continue;
    const std::int64_t t_ns = rows.from_ns + static_cast<std::int64_t>(slot) * slot_ns;
    if (rows.row_of(t_ns) >= rows.count) break;
    const float foot = rows.y_of(rows.row_of(t_ns));
    const float x = rows.x_of(t_ns);
    const float high = std::min(full * 3.6F, full * static_cast<float>(*most));
    bool fault = false;
    for (std::size_t i = slot; i < slot + step; ++i) fault = fault || faults[i];
    canvas.fill({x, foot - high, wide, high},
                fault ? palette.error : theme::mixed(palette.panel, palette.brass, 0.55));
    if (*least > 0) {
      const float low = full * static_cast<float>(*least);
      canvas.fill({x, foot - low, wide, low}, palette.brass);
    }
  }
}

std::string byte_words(const WirePage& page, int byte) {
  const auto& one = page.bytes[static_cast<std::size_t>(byte)];
  std::string hex;
  std::string words = "a message under way";
  if (one.message >= 0) {
    const auto& message = page.messages[static_cast<std::size_t>(one.message)];
    words = message_words(message.event, message.count);
    const int most = std::min(message.last, message.first + 7);
    for (int i = message.first; i <= most; ++i) {
      if (page.bytes[static_cast<std::size_t>(i)].message != one.message) continue;
      hex += diagnosis::hex_text(page.bytes[static_cast<std::size_t>(i)].value) + " ";
    }
    if (message.last > most) hex += "… ";
  } else {
    hex = diagnosis::hex_text(one.value) + " ";
  }
  hex.pop_back();
  return hex + ": " + words + "; byte " + count_text(one.index) + " at " + tick_text(one.t_ns, 4);
}

}  // namespace strumwright::screens
