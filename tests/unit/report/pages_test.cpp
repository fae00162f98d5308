// Pages are full, whole and in order, whatever is put on them.
#include <catch2/catch.hpp>

#include "report/measures.h"
#include "report/page_setter.h"

using namespace rakelight;

namespace {

std::string words(int count) {
  std::string text;
  for (int i = 0; i < count; ++i) text += (i ? " word" : "word") + std::to_string(i);
  return text;
}

/// Nothing reaches into the foot, nothing lies over anything else, no page is empty, and no page ends with what belongs to the next.
void check(const PageSetter& setter, const PageArea& area) {
  for (const PageSetter::Page& page : setter.pages()) {
    REQUIRE_FALSE(page.placed.empty());
    double before = area.margin - 0.01;
    for (const PageSetter::Placed& p : page.placed) {
      CHECK(p.y >= before);
      before = p.y + p.piece->height - 0.01;
      CHECK(p.y + p.piece->height <= area.height - area.margin - 22 + 0.01);
    }
    CHECK_FALSE(page.placed.back().piece->with_next);
  }
}

}  // namespace

TEST_CASE("no heading alone at the foot of a page, no first or last line alone") {
  for (int lines = 30; lines < 75; ++lines) {
    Paper paper;
    PaperSection s{"Section", {}, 0};
    for (int i = 0; i < lines; ++i) s.blocks.push_back(Para{"one line"});
    s.blocks.push_back(Headline{"Heading", 2});
    s.blocks.push_back(Para{words(120)});
    paper.sections = {s};
    const PageSetter setter(paper);
    INFO(lines);
    check(setter, area_of(paper.page));
  }
}

TEST_CASE("a table of four hundred rows has its head on every page") {
  for (const PageSize size : {PageSize::a4, PageSize::letter}) {
    Paper paper;
    paper.page = size;
    Grid g{{"joint", "kind", "what is said of it"}, {}, {false, false, true}};
    for (int i = 0; i < 402; ++i) g.rows.push_back({"R" + std::to_string(i), "recessed", words(i % 40)});
    paper.sections = {{"Joints", {g}, 0}};
    const PageSetter setter(paper);
    check(setter, area_of(size));
    REQUIRE(setter.pages().size() > 5);
    int rows = 0;
    const PageSetter::Piece* head = setter.pages()[0].placed[1].piece;
    for (std::size_t k = 0; k < setter.pages().size(); ++k) {
      const auto& placed = setter.pages()[k].placed;
      if (k > 0) CHECK(placed[0].piece == head);
      for (const auto& p : placed) rows += p.piece->head_of >= 0;
    }
    CHECK(rows == 402);
  }
}

TEST_CASE("a section that may have two pages has two, set smaller") {
  Paper paper;
  PaperSection s{"Client", {}, 2};
  for (int i = 0; i < 14; ++i) s.blocks.push_back(Para{words(90)});
  for (int i = 0; i < 3; ++i) s.blocks.push_back(Photos{{{Image(90, 60, 1), "a wall", "", {"one", "two"}}}, "caption", 1});
  paper.sections = {s};
  CHECK(paper_pages(paper) == 2);
  paper.sections[0].most_pages = 0;
  CHECK(paper_pages(paper) > 2);
  // sections begin on pages of their own
  paper.sections.push_back({"Next", {Para{"x"}}, 0});
  const int before = paper_pages(paper);
  paper.sections.push_back({"Last", {Para{"x"}}, 0});
  CHECK(paper_pages(paper) == before + 1);
}

TEST_CASE("words longer than a line are broken, not clipped") {
  Paper paper;
  paper.sections = {{"Long", {Para{std::string(3000, 'W')}, Grid{{std::string(60, 'a'), std::string(60, 'b')}, {{std::string(300, 'c'), std::string(300, 'd')}}, {}}}, 0}};
  const std::string pdf = paper_pdf(paper);
  CHECK(pdf.substr(0, 5) == "%PDF-");
  CHECK(pdf.find("/Lang (en-GB)") != std::string::npos);
  CHECK(paper_pdf(paper) == pdf);
  check(PageSetter(paper), area_of(paper.page));
}

TEST_CASE("feet and inches to a sixteenth, gallons, pounds and degrees") {
  const Measures inch{true}, metric{false};
  CHECK(inch.length(2.4384) == "8'");                // 96 in
  CHECK(inch.length(2.65) == "8' 8-5/16\"");         // 104.33 in
  CHECK(inch.length(0.150) == "5-7/8\"");            // 5.906 in
  CHECK(inch.length(0.0127) == "1/2\"");
  CHECK(inch.length(0) == "0\"");
  CHECK(metric.length(2.65) == "2,650 mm");
  CHECK(inch.temperature(10) == "50 °F");
  CHECK(metric.amount({0.25, 12.4}, "L") == "0.25–12 L");
  CHECK(inch.amount({3.785411784, 37.85411784}, "L") == "1.0–10 US gal");
  CHECK(inch.amount({0.45359237, 4.5359237}, "kg") == "1.0–10 lb");
  CHECK(inch.area(9.290304) == "100 ft²");
  CHECK(range_text({1000, 1999.6}) == "1,000–2,000");
}

TEST_CASE("the strip of greys: the whole scale, and steps that grow from two per cent") {
  CHECK(strip_tone(0, 0) == 0);
  CHECK(strip_tone(0, tone_steps - 1) == 1);
  const auto luminance = [](double grey) { return std::pow((grey + 0.055) / 1.055, 2.4); };  // IEC 61966-2-1
  double before = 0;
  for (int i = 0; i + 1 < tone_steps; ++i) {
    const double a = luminance(strip_tone(1, i)), b = luminance(strip_tone(1, i + 1)), step = std::abs(a - b) / 0.55;
    CHECK(step >= before);
    before = step;
    if (i == 0) CHECK(step == Approx(0.02));
  }
  CHECK(before == Approx(0.11));
}
