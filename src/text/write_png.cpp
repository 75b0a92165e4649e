#include "text/write_png.hpp"

#include <agg2/agg_conv_dash.h>
#include <agg2/agg_conv_stroke.h>
#include <agg2/agg_conv_transform.h>
#include <agg2/agg_ellipse.h>
#include <agg2/agg_gsv_text.h>
#include <agg2/agg_path_storage.h>
#include <agg2/agg_rasterizer_scanline_aa.h>
#include <agg2/agg_scanline_p.h>
#include <png.h>

#include <array>
#include <charconv>
#include <cmath>
#include <cstdlib>
#include <numbers>
#include <vector>

namespace seamwright {
namespace {

constexpr std::size_t channels = 3;
constexpr double widest = 20'000, highest = 30'000;  // pixels

// Not the colours of AGG: a program that has those works out tables of them at every start, pictures or none.
using Paint = std::array<agg::int8u, channels>;

Paint paint(Colour c) {
  const std::string_view hex = colour(c).light.substr(1);
  const std::size_t digits = hex.size() / 3;
  const auto channel = [&](std::size_t i) {
    unsigned value = 0;
    const std::string_view part = hex.substr(i * digits, digits);
    std::from_chars(part.data(), part.data() + part.size(), value, 16);
    return static_cast<agg::int8u>(digits == 1 ? 17 * value : value);
  };
  return {channel(0), channel(1), channel(2)};
}

class Raster {
 public:
  Raster(const Drawing& drawing, double scale)
      : width_(static_cast<unsigned>(std::lround(drawing.width() * scale))),
        height_(static_cast<unsigned>(std::lround(drawing.height() * scale))),
        scale_(scale),
        pixels_(std::size_t{width_} * height_ * channels) {
    const Paint paper = paint(Colour::paper);
    for (std::size_t i = 0; i < pixels_.size(); ++i) pixels_[i] = paper[i % channels];
    rasterizer_.clip_box(0, 0, width_, height_);
    for (const Drawing::Shape& shape : drawing.shapes()) draw(shape);
  }

  [[nodiscard]] std::string file() const {
    png_image image{};
    image.version = PNG_IMAGE_VERSION;
    image.width = width_;
    image.height = height_;
    image.format = PNG_FORMAT_RGB;
    png_alloc_size_t size = PNG_IMAGE_PNG_SIZE_MAX(image);
    std::string bytes(size, '\0');
    if (png_image_write_to_memory(&image, bytes.data(), &size, 0, pixels_.data(), 0, nullptr) == 0) return {};
    bytes.resize(size);
    return bytes;
  }

 private:
  unsigned width_, height_;
  double scale_;
  std::vector<agg::int8u> pixels_;
  agg::rasterizer_scanline_aa<> rasterizer_;
  agg::scanline_p8 scanline_;

  template <typename Source>
  void fill(Source& source, Colour c) {
    rasterizer_.reset();
    rasterizer_.add_path(source);
    if (!rasterizer_.rewind_scanlines()) return;
    scanline_.reset(rasterizer_.min_x(), rasterizer_.max_x());
    const Paint over = paint(c);
    while (rasterizer_.sweep_scanline(scanline_)) {
      auto span = scanline_.begin();
      for (unsigned left = scanline_.num_spans(); left > 0; --left, ++span) {
        const auto row = static_cast<std::size_t>(scanline_.y()) * width_;
        const bool alike = span->len < 0;  // one cover for all of them
        for (int i = 0; i < std::abs(span->len); ++i)
          cover_pixel(&pixels_[(row + static_cast<std::size_t>(span->x + i)) * channels], over,
                      span->covers[alike ? 0 : i]);
      }
    }
  }

  // Moves a pixel towards a colour by a share of 255, rounded.
  static void cover_pixel(agg::int8u* pixel, const Paint& over, int share) {
    for (std::size_t i = 0; i < channels; ++i) {
      const int step = (over[i] - pixel[i]) * share;
      pixel[i] = static_cast<agg::int8u>(pixel[i] + (step + (step < 0 ? -127 : 127)) / 255);
    }
  }

  template <typename Source>
  void fill_and_stroke(Source& source, const LookInfo& l) {
    if (l.fill != Colour::none) fill(source, l.fill);
    if (l.stroke == Colour::none) return;
    if (l.dash_px > 0) {
      agg::conv_dash<Source> dashes(source);
      dashes.add_dash(l.dash_px * scale_, l.gap_px * scale_);
      stroke(dashes, l);
    } else {
      stroke(source, l);
    }
  }
  template <typename Source>
  void stroke(Source& source, const LookInfo& l) {
    agg::conv_stroke<Source> outline(source);
    outline.width(l.stroke_px * scale_);
    fill(outline, l.stroke);
  }

  void draw(const Drawing::Shape& s) {
    using Kind = Drawing::Shape::Kind;
    const LookInfo& l = look(s.look);
    const DrawPoint first{s.points.front().x * scale_, s.points.front().y * scale_};
    switch (s.kind) {
      case Kind::text:
      case Kind::vertical_text:
        letters(s, l, first);
        return;
      case Kind::circle: {
        agg::ellipse circle(first.x, first.y, s.width * scale_, s.width * scale_, 64);
        fill_and_stroke(circle, l);
        return;
      }
      case Kind::line:
      case Kind::outline:
      case Kind::rectangle: {
        agg::path_storage path;
        path.move_to(first.x, first.y);
        for (std::size_t i = 1; i < s.points.size(); ++i) path.line_to(s.points[i].x * scale_, s.points[i].y * scale_);
        if (s.kind == Kind::rectangle) {
          path.hline_rel(s.width * scale_);
          path.vline_rel(s.height * scale_);
          path.hline_rel(-s.width * scale_);
        }
        if (s.kind != Kind::line) path.close_polygon();
        fill_and_stroke(path, l);
        return;
      }
    }
  }

  void letters(const Drawing::Shape& s, const LookInfo& l, DrawPoint at) {
    constexpr double capital = 0.74, wide = 0.56;  // of the size: a stroke letter's box, to stand as a printed one does
    constexpr double thin = 0.105, bold = 0.15;
    std::string ascii;
    for (const char c : s.text)
      if (const auto byte = static_cast<unsigned char>(c); byte < 0x80)
        ascii += c;
      else if (byte >= 0xC0)
        ascii += '?';
    const double size = l.text_px * scale_;
    agg::gsv_text text;
    text.size(capital * size, wide * size);
    text.flip(true);
    text.text(ascii.c_str());
    agg::trans_affine place;
    if (s.anchor != Anchor::start)
      place *= agg::trans_affine_translation(-text.text_width() * (s.anchor == Anchor::middle ? 0.5 : 1.0), 0);
    text.start_point(0, 0);  // measuring has moved it
    if (s.kind == Drawing::Shape::Kind::vertical_text) place *= agg::trans_affine_rotation(-0.5 * std::numbers::pi);
    place *= agg::trans_affine_translation(at.x, at.y);
    agg::conv_stroke<agg::gsv_text> strokes(text);
    strokes.width((l.bold ? bold : thin) * size);
    strokes.line_join(agg::round_join);
    strokes.line_cap(agg::round_cap);
    agg::conv_transform<agg::conv_stroke<agg::gsv_text>> placed(strokes, place);
    fill(placed, l.fill);
  }
};

}  // namespace

std::string png_file(const Drawing& drawing, double scale) {
  if (drawing.empty() || !(drawing.width() * scale <= widest) || !(drawing.height() * scale <= highest)) return {};
  return Raster(drawing, scale).file();
}

}  // namespace seamwright
