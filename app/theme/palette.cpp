// app/theme/palette.cpp
#include "app/theme/palette.h"

#include <algorithm>
#include <cmath>

namespace strumwright::theme {

namespace {

// Source: WCAG 2.1, "relative luminance".
double linear(std::uint8_t channel) {
  const double share = channel / 255.0;
  return share <= 0.04045 ? share / 12.92 : std::pow((share + 0.055) / 1.055, 2.4);
}

double luminance(Colour of) {
  return 0.2126 * linear(of.red) + 0.7152 * linear(of.green) + 0.0722 * linear(of.blue);
}

std::uint8_t between(std::uint8_t a, std::uint8_t b, double share) {
  return static_cast<std::uint8_t>(std::lround(a + (b - a) * share));
}

}  // namespace

Colour faded(Colour from, double opacity) {
  from.alpha = static_cast<std::uint8_t>(std::lround(from.alpha * std::clamp(opacity, 0.0, 1.0)));
  return from;
}

Colour mixed(Colour a, Colour b, double share) {
  share = std::clamp(share, 0.0, 1.0);
  return {between(a.red, b.red, share), between(a.green, b.green, share),
          between(a.blue, b.blue, share), between(a.alpha, b.alpha, share)};
}

double contrast(Colour a, Colour b) {
  const double first = luminance(a) + 0.05;
  const double second = luminance(b) + 0.05;
  return std::max(first, second) / std::min(first, second);
}

const Palette dark_palette = {
    .light = false,
    .bench = colour(0x11161C),
    .panel = colour(0x19202A),
    .raised = colour(0x242E3A),
    .rail = colour(0x151A22),
    .well = colour(0x11161C),
    .line = colour(0x303C49),
    .edge = colour(0x64788C),
    .ink = colour(0xF0EBE1),
    .ink2 = colour(0xBAC1C8),
    .ink3 = colour(0x8F9BA7),
    .brass = colour(0xD6AB5F),
    .on_brass = colour(0x1A1408),
    .rest = colour(0x8C6E3A),
    .glow = colour(0xFFE3AE),
    .large = colour(0xFFE3AE),
    .error = colour(0xD55E00),
    .error_text = colour(0xF5853F),
    .warning = colour(0xF0E442),
    .good = colour(0x009E73),
    .good_text = colour(0x35C79B),
    .info = colour(0x56B4E9),
    .alien = colour(0xCC79A7),
};

const Palette light_palette = {
    .light = true,
    .bench = colour(0xE9E4DA),
    .panel = colour(0xFAF7F1),
    .raised = colour(0xE4DDCF),
    .rail = colour(0xF1EDE4),
    .well = colour(0xE9E4DA),
    .line = colour(0xD2C9B9),
    .edge = colour(0x7F776A),
    .ink = colour(0x1B2229),
    .ink2 = colour(0x424B54),
    .ink3 = colour(0x575E66),
    .brass = colour(0x7E5A17),
    .on_brass = colour(0xFFF8E8),
    .rest = colour(0x9A793D),
    .glow = colour(0x4C3200),
    .large = colour(0x1B2229),
    .error = colour(0xD55E00),
    .error_text = colour(0xA34600),
    .warning = colour(0xF0E442),
    .good = colour(0x009E73),
    .good_text = colour(0x006B4E),
    .info = colour(0x0072B2),
    .alien = colour(0xCC79A7),
};

}  // namespace strumwright::theme
