// app/theme/fonts.h
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <span>

struct ImFont;
struct ImFontAtlas;

namespace strumwright::theme {

enum class Face : std::uint8_t { regular, bold, mono };

/// Text sizes in units (pixels at 100 %), as type is measured: the em, not the line.
inline constexpr float label_size = 12.0F;  ///< labels, axes; nothing smaller
inline constexpr float text_size = 14.0F;
inline constexpr float lead_size = 17.0F;
inline constexpr float figure_size = 24.0F;
inline constexpr float sign_size = 58.0F;    ///< read at 2 m; chord names only
inline constexpr float large_size = 150.0F;  ///< chord names only
inline constexpr float line_height = 1.35F;  ///< of the size
/// Dear ImGui sizes a font by its line (ascent to descent), type is sized by its em.
/// Source: the `hhea` and `head` tables of B612: (1930 + 500) / 2000.
inline constexpr float line_of_em = 1.215F;

/// Sizes in pixels of the far view's words and chord; 0: none are needed.
struct FarSizes {
  float word = 0.0F;
  float chord = 0.0F;
  friend bool operator==(FarSizes, FarSizes) = default;
};

/// The fonts of one scale, in an atlas that the caller owns.
///
/// Faces: B612 regular and bold, B612 Mono for hex bytes; sharp and flat from DejaVu Sans Bold.
/// Thread: the one that builds frames.
class Fonts {
 public:
  /// Fills `atlas` anew and rasterises it. Not inside a frame.
  static Fonts build(ImFontAtlas& atlas, float scale, FarSizes far_sizes = {});

  /// The font of a face at a size of the list above; the nearest one that there is.
  [[nodiscard]] ImFont* find(Face face, float size) const;
  [[nodiscard]] ImFont* far_word() const { return far_word_; }
  [[nodiscard]] ImFont* far_chord() const { return far_chord_; }
  [[nodiscard]] float scale() const { return scale_; }

 private:
  struct Entry {
    Face face = Face::regular;
    float size = 0.0F;
    ImFont* font = nullptr;
  };
  static constexpr std::size_t most = 12;
  std::array<Entry, most> entries_{};
  std::size_t count_ = 0;
  ImFont* far_word_ = nullptr;
  ImFont* far_chord_ = nullptr;
  float scale_ = 1.0F;
};

/// Whether the text faces have a glyph for a character; what they lack is shown as "?".
bool has_glyph(std::uint32_t character);

}  // namespace strumwright::theme
