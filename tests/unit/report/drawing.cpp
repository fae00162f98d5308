// Drawings of sections: to scale, well-formed, the same as SVG and PNG.
#include <catch2/catch.hpp>

#include <cmath>
#include <cstdio>
#include <string>

#include "report/report.h"

using namespace rakelight;
using Approx = Catch::Detail::Approx;

namespace {

Section section_of(JointKind kind, const char* level = "4") { return typical_section(kind, *scheme("c840")->find(level), *workmanship("everyday")); }

const Words* find(const Drawing& d, const std::string& part) {
  for (const Words& w : d.words)
    if (w.text.find(part) != std::string::npos) return &w;
  return nullptr;
}

/// The finished surface: the widest black line of a drawing.
const Shape& finished(const Drawing& d) {
  const Shape* best = nullptr;
  for (const Shape& s : d.shapes)
    if (s.line == "#000000" && s.points.size() > 10 && (!best || s.width > best->width)) best = &s;
  REQUIRE(best);
  return *best;
}

}  // namespace

TEST_CASE("a section's drawing is to the scale it states, heights a hundred times the widths") {
  for (const std::string& name : kind_names()) {
    const Section s = section_of(*kind_named(name));
    const Drawing d = section_drawing(s, name);
    INFO(name);
    const Words* stated = find(d, "heights drawn 100 times");
    REQUIRE(stated);
    double per = 0;
    REQUIRE(std::sscanf(stated->text.c_str() + stated->text.find("1 : "), "1 : %lf", &per) == 1);
    const Shape& line = finished(d);
    double left = 1e9, right = -1e9, top = 1e9, foot = -1e9;
    for (dvec2 p : line.points) {
      left = std::min(left, p.x);
      right = std::max(right, p.x);
      top = std::min(top, p.y);
      foot = std::max(foot, p.y);
      CHECK(p.x >= 0);
      CHECK(p.x <= d.width);
    }
    // 1e-6: the points are the section's own samples in double
    CHECK(right - left == Approx((s.last() - s.first) * 1e3 / per).epsilon(1e-6));
    double low = 0, high = 0;
    for (double h : s.height) {
      low = std::min(low, h);
      high = std::max(high, h);
    }
    // the outline is thinned to a tenth of a millimetre on paper, which may leave the very apex out
    CHECK(foot - top == Approx((high - low) * 1e3 * 100 / per).margin(0.6));
    for (const Words& w : d.words) {
      CHECK(w.at.x >= 0);
      CHECK(w.at.x <= d.width);
      CHECK(w.at.y <= d.height);
    }
  }
}

TEST_CASE("the drawing names coats, tape and crown") {
  const Drawing d = section_drawing(section_of(JointKind::butt, "5"), "x", {"a note"});
  for (const char* text : {"bed and tape", "coat 1", "coat 2", "skim", "tape", "500 mm feather to feather", "crown +1.40 mm", "board face 0", "50 mm, 0.22 mm thick", "a note"}) {
    INFO(text);
    CHECK(find(d, text));
  }
  CHECK(find(section_drawing(section_of(JointKind::recessed, "0"), "x"), "hollow −1.30 mm"));
  CHECK(find(section_drawing(section_of(JointKind::half_round), "x"), "the groove goes on below: 6.3 mm deep"));  // 1.3 + 5
}

TEST_CASE("drawings leave as SVG and PNG") {
  Drawing d = section_drawing(section_of(JointKind::recessed), "Tom & \"R1\" <test>");
  const std::string svg = svg_text(d);
  CHECK(svg.find("Tom &amp; \"R1\" &lt;test&gt;") != std::string::npos);
  CHECK(svg.rfind("</svg>\n") == svg.size() - 7);
  std::size_t opened = 0, closed = 0;
  for (std::size_t at = 0; (at = svg.find("<text", at)) != std::string::npos; ++at) ++opened;
  for (std::size_t at = 0; (at = svg.find("</text>", at)) != std::string::npos; ++at) ++closed;
  CHECK(opened == d.words.size());
  CHECK(closed == opened);
  const std::string png = drawing_png(d, 4);
  REQUIRE(png.size() > 1000);
  CHECK(png.substr(1, 3) == "PNG");
  // IHDR: width and height, big-endian, from byte 16
  auto number = [&](std::size_t at) {
    return (static_cast<unsigned char>(png[at]) << 24) | (static_cast<unsigned char>(png[at + 1]) << 16) | (static_cast<unsigned char>(png[at + 2]) << 8) |
           static_cast<unsigned char>(png[at + 3]);
  };
  CHECK(number(16) == std::lround(d.width * 4));
  CHECK(number(20) == std::lround(d.height * 4));
  CHECK(drawing_png(d, 4) == png);  // same drawing, same bytes
}
