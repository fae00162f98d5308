#include "report/paper.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

#include "base/checksum.h"
#include "base/text.h"
#include "base/units.h"
#include "report/in_units.h"
#include "report/paper_parts.h"

namespace rakelight {

PaperFacts::PaperFacts(const PaperSource& s) : source(s), study(s.study), job(s.study.job) {
  measures.inches = job.units == Units::inch;
  visits = visits_of(study, all_of(source.assessment.surfaces));
  quantities = quantities_of(study, all_of(source.assessment.surfaces));
  programme = programme_of(job, visits);
  prices = prices_of(job, visits, quantities);
}

std::string face_text(const Study& study, int surface) {
  const Surface& f = study.room.surfaces[surface];
  return f.kind == Surface::Kind::wall ? f.name + " wall" : f.name;
}

const SurfaceResult* worst_face(const Assessment& assessment) {
  const SurfaceResult* found = nullptr;
  double most = -1;
  for (const SurfaceResult& s : assessment.surfaces)
    if (const JointResult* w = s.worst(); w && w->seen[w->worst].judged.visibility > most) {
      most = w->seen[w->worst].judged.visibility;
      found = &s;
    }
  return found;
}

const SurfaceAdvice* PaperFacts::advice_of(int surface) const {
  for (const SurfaceAdvice& a : source.advice.surfaces)
    if (a.surface == surface) return &a;
  return nullptr;
}

std::vector<int> offers(const SurfaceAdvice& a) {
  std::vector<int> out;
  const auto add = [&](int i) {
    if (i >= 0 && i < static_cast<int>(a.options.size()) && out.size() < 3 && std::find(out.begin(), out.end(), i) == out.end()) out.push_back(i);
  };
  add(a.as_asked);
  add(a.best);
  // the neighbours of what is asked for that paint may go on, in the sheets' own direction: the higher first
  for (int step : {1, -1}) {
    const int i = a.as_asked + step;
    if (a.as_asked < 0 || i < 0 || i >= static_cast<int>(a.options.size())) continue;
    const Option& o = a.options[static_cast<std::size_t>(i)];
    if (o.finish.run == a.options[static_cast<std::size_t>(a.as_asked)].finish.run && o.for_paint) add(i);
  }
  std::sort(out.begin(), out.end(), [&](int x, int y) { return a.options[static_cast<std::size_t>(x)].cost.hours.high < a.options[static_cast<std::size_t>(y)].cost.hours.high; });
  return out;
}

PaperFacts::Alternative PaperFacts::with(int surface, const Finish& finish) const {
  const SurfaceResult made = made_surface(study, surface, finish);
  Surfaces all = all_of(source.assessment.surfaces);
  for (const SurfaceResult*& s : all)
    if (s->surface == surface) s = &made;
  const std::vector<Visit> v = visits_of(study, all);
  return {hours_of(v), count_of(v), prices_of(job, v, quantities_of(study, all))};
}

std::string PaperFacts::day(long number) const { return programme.dated ? day_text(number) : "day " + std::to_string(number + 1); }

std::string PaperFacts::short_day(long number) const {
  std::string text = day(number), out;
  if (programme.dated) text = text.substr(0, text.rfind(' '));
  for (const char c : text) out += c == ' ' ? std::string("\u00a0") : std::string(1, c);
  return out;
}

std::string stand_text(const Study& study, int viewer) {
  const Viewer& v = study.viewers[viewer];
  if (!study.job.viewers.empty()) return v.name;
  if (v.only_surface >= 0) return "square on, 2 m off (inspection)";
  if (v.name == "doorway") return "in the doorway";
  if (v.name == "seated") return "seated in the middle of the room";
  if (v.name.starts_with("along ")) return "close by, looking along the " + v.name.substr(6) + " wall";
  return v.name;
}

std::string when_text(const Moment& m) {
  if (m.sky.dark) return m.name + " (lamps only)";
  return m.at_text.empty() || m.at_text == m.name ? m.name : fmt::format("{} ({})", m.name, m.at_text.substr(0, 16));  // without its offset
}

std::string place_text(const PaperFacts& facts, const JointLine& line) {
  const Surface& face = facts.study.room.surfaces[line.surface];
  const dvec2 along = line.along();
  const double x = line.from.x - face.box.lo.x, y = line.from.y - face.box.lo.y;
  const bool wall = face.kind == Surface::Kind::wall;
  if (std::abs(along.y) > std::abs(along.x)) return wall ? "upright, " + facts.measures.length(x) + " from the left" : "at x " + facts.measures.length(line.from.x) + " on plan";
  return wall ? "level, " + facts.measures.length(y) + " up" : "at y " + facts.measures.length(line.from.y) + " on plan";
}

std::string level_text(const Study& study, int surface, const Finish& finish) {
  return fmt::format("level {}, sheets {}", finish.level, run_text(study.room, surface, finish.run));
}

std::string expectation(double chance, double aim) {
  return chance <= aim ? fmt::format("not expected to be noticed, {} that any joint shows", chance_text(chance)) : fmt::format("{} that a joint shows", chance_text(chance));
}

namespace {

/// All words of the paper in the job's units, whoever wrote them.
class InUnits {
 public:
  explicit InUnits(Units units) : units_(units) {}
  void operator()(Headline& b) const { words(b.text); }
  void operator()(Para& b) const { words(b.text); }
  void operator()(Points& b) const { all(b.items); }
  void operator()(Grid& b) const {
    all(b.head);
    for (auto& row : b.rows) all(row);
  }
  void operator()(Photos& b) const {
    words(b.caption);
    for (Photo& photo : b.photos) one(photo);
  }
  void operator()(Plate& b) const {
    words(b.caption);
    words(b.alt);
    all(b.beside);
    for (Words& w : b.drawing.words) words(w.text);
  }
  void operator()(Blanks& b) const {
    for (Blank& blank : b.blanks) words(blank.label);
  }
  void operator()(Tones&) const {}
  void operator()(Slide& b) const {
    one(b.before);
    one(b.after);
    words(b.caption);
  }

 private:
  void words(std::string& text) const { text = in_units(units_, text); }
  void all(std::vector<std::string>& texts) const {
    for (std::string& text : texts) words(text);
  }
  void one(Photo& photo) const {
    words(photo.heading);
    words(photo.alt);
    all(photo.beside);
  }
  Units units_;
};

}  // namespace

Paper make_paper(const PaperSource& source) {
  const PaperFacts facts(source);
  Paper paper;
  paper.title = *facts.job.title;
  if (paper.title.empty()) paper.title = source.job_name;
  paper.page = *facts.job.paper.page;
  if (facts.measures.inches) paper.language = "en-US";
  const auto iso = [](const LocalTime& t) { return fmt::format("{:04}-{:02}-{:02}", t.year, t.month, t.day); };
  if (facts.job.paper.date.given) paper.created = iso(*facts.job.paper.date);
  else
    for (auto m = facts.job.moments.rbegin(); m != facts.job.moments.rend(); ++m)
      if (m->time.given) paper.created = iso(*m->time);
  paper.foot = fmt::format("A prediction, not an acceptance ruling · Rakelight {} · job {} · {}", program_version(), sha256(source.job_text).substr(0, 12), paper.title);
  paper.sections = {client_section(facts), finisher_section(facts), quantities_section(facts), figures_section(facts), cautions_section()};
  if (facts.measures.inches)
    for (PaperSection& section : paper.sections)
      for (PaperBlock& block : section.blocks) std::visit(InUnits(facts.job.units), block);
  return paper;
}

}  // namespace rakelight
