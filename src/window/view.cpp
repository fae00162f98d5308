// Where the regions stand, and the two lines at the top: the questions and the answer. Over 500 lines: what a word of the answer does and
// what a key does are the same few acts, kept beside each other.
#include "window/view.h"

#include <imgui_internal.h>

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <functional>

#include "base/text.h"
#include "base/units.h"
#include "report/in_units.h"
#include "window/taken.h"
#include "window/way_edits.h"
#include "window/words.h"

namespace rakelight {
namespace {

constexpr double narrow = 75;          // em: below, the findings are a drawer
constexpr float questions_high = 3, answer_high = 2.5f, findings_wide = 24, sheet_wide = 46, time_high = 10;

void ask(Sight& s, Question question) { ask_question(s.model, question, s.found()); }

}  // namespace

void questions_region(Sight& s, const Region& r) {
  begin_region("questions", r, tone::panel);
  Model& m = s.model;
  std::string title = s.study() ? *s.study()->job.title : m.path;
  if (title.empty()) title = say("A job");
  if (m.path.empty()) title = say("{} (a copy, not saved)", title);
  else if (m.changed()) title += " *";
  struct Entry { Question question; const char* words; const char* why; };
  static constexpr Entry entries[] = {
      {Question::when, later("When does it show?"), later("The wall at any time of the year, or under its lamps.")},
      {Question::finish, later("Which finish?"), later("Two levels side by side, with what each hides and costs.")},
      {Question::way_round, later("Which way round?"), later("Sheet direction and where the joints fall, before hanging.")},
      {Question::measured, later("I measured a joint"), later("Is it in tolerance, will it show, what cures it.")},
  };
  struct Tool { const char* name; std::string words, why; bool on; std::function<void()> press; };
  const Tool tools[] = {
      {"start my room", say("Start my room"), say("A job for a room of your own: five numbers, then the window by dragging."), m.starting, [&] { m.starting = !m.starting; }},
      {"the job", say("The job"), say("Everything that the job holds, to read and to edit (E)"), m.sheet, [&] { m.sheet = !m.sheet; }},
      {"undo", say("Undo"), m.history.can_undo() ? say("takes back: {}", m.history.now().what) : say("nothing to undo"), false, [&] { m.undo(); }},
      {"open", say("Open"), say("Another job, or one of the last (Ctrl O)"), m.opening, [&] { m.opening = !m.opening; }},
      {"save", say("Save"), say("Only what you changed is written; comments and order stay."), false, [&] { s.wishes.save = true; }},
      {"paper", say("Paper"), say("The paper for client and site, as PDF beside the job (Ctrl Shift P)"), s.paper_busy, [&] { s.wishes.print_paper = true; }},
      {"help", "?", say("All keys (F1)"), m.help, [&] { m.help = !m.help; }},
  };
  const std::string more = say("More");
  const float edges = 1.6f * s.em, gap = 1.5f * s.em;
  float asks = 0, all = 0;
  for (const Entry& e : entries) asks += button_wide(phrase(e.words));
  for (const Tool& tool : tools) all += button_wide(tool.words);
  // on a narrow window the title gives way, then the first tools go into a list
  std::size_t first = 0;
  float wide = all;
  while (first < std::size(tools) && asks + wide + edges > r.size.x) {
    wide -= button_wide(tools[first].words) + (first == 0 ? -button_wide(more) : 0);
    ++first;
  }
  const float free = r.size.x - asks - wide - edges - 2 * gap, wanted = std::min(free, std::max(24 * s.em, ImGui::CalcTextSize(title.c_str()).x));
  ImGui::SetCursorPosY(0.75f * s.em);
  ImGui::AlignTextToFramePadding();
  if (wanted > 3 * s.em) {
    ImGui::TextUnformatted(shortened(title, wanted).c_str());
    tip(title);
    s.mark("title");
    ImGui::SameLine(wanted + gap);
  }
  for (const Entry& e : entries) {
    if (button(s, fmt::format("question {}", static_cast<int>(e.question) + 1), std::string(phrase(e.words)), m.question == e.question)) ask(s, e.question);
    tip(phrase(e.why));
    ImGui::SameLine();
  }
  ImGui::SameLine(std::max(ImGui::GetCursorPosX(), r.size.x - wide - 0.5f * edges));
  if (first > 0) {
    if (button(s, "more", more)) ImGui::OpenPopup("more tools");
    tip(say("What has no room here; all of it has a key too."));
    ImGui::SameLine();
    if (ImGui::BeginPopup("more tools")) {
      for (std::size_t i = 0; i < first; ++i) {
        if (ImGui::Selectable((tools[i].words + "###" + tools[i].name).c_str(), tools[i].on)) tools[i].press();
        s.mark(tools[i].name);
        tip(tools[i].why);
      }
      ImGui::EndPopup();
    }
  }
  for (std::size_t i = first; i < std::size(tools); ++i) {
    if (button(s, tools[i].name, tools[i].words, tools[i].on)) tools[i].press();
    tip(tools[i].why);
    ImGui::SameLine();
  }
  end_region();
}

namespace {

/// A piece of the answer: words, which may be clicked, or a disc before them.
struct Piece {
  std::string words, name, why;
  std::function<void()> go;
  std::optional<Verdict> disc;
  bool spare = false;                  ///< left out where there is no room
};

/// The face that is judged, and what is asked about it, as one sentence.
class Answer {
 public:
  Answer(Sight& s, const Study& study, const SurfaceResult& result) : s_(s), study_(study), result_(result), surface_(result.surface) {}

  std::vector<Piece> pieces() {
    const Question question = s_.model.question;
    const bool pair = s_.model.right_text() && s_.work.right && s_.work.right->study;
    if (question == Question::measured) measured();
    else if (pair && question != Question::when) sides(*s_.work.right);
    else when();
    return std::move(pieces_);
  }

 private:
  void plain(const std::string& words, bool spare = false) { pieces_.push_back({words, "", "", {}, {}, spare}); }
  void face() {
    pieces_.push_back({upper_first(face_text(study_.room, surface_)), "answer face", say("Face it, square on."), [this] { s_.model.place = facing_place(study_, surface_); }, {}, false});
  }
  void disc_of(Verdict verdict) { pieces_.push_back({"", "", "", {}, verdict, false}); }
  void joints(const std::string& words) {
    pieces_.push_back({words, "answer joints", say("The worst of them, opened in the findings."), [this] {
                         if (const auto worst = worst_of(*s_.found()->assessment, study_.room, s_.model.surface)) s_.model.joint = worst->joint->joint.line.id;
                         s_.model.drawer = true;
                       }, {}, false});
  }
  void time(std::size_t moment, bool spare = false) {
    pieces_.push_back({when_text(study_.job.moments[moment]), "answer time", say("Go to that time."), [this, moment] { s_.model.moment = study_.job.moments[moment]; }, {}, spare});
  }
  void stand(std::size_t viewer, bool spare = false) {
    pieces_.push_back({where_text(study_.viewers[viewer].name), "answer place", say("Stand there."), [this, viewer] { s_.model.place = place_of(study_, study_.viewers[viewer]); }, {}, spare});
  }

  void when() {
    const Counts c = counts_of(result_);
    disc_of(c.worst());
    face();
    plain(", ");
    pieces_.push_back({say("level {}", result_.finish.level), "answer level", say("Compare it with another level."), [this] { ask(s_, Question::finish); }, {}, false});
    plain(": ");
    const int count = c.shows > 0 ? c.shows : c.faint;
    joints(count == 0 ? say("no joint shows") : c.shows > 0 ? (count == 1 ? say("1 joint shows") : say("{} joints show", count)) : count == 1 ? say("1 joint is faint") : say("{} joints are faint", count));
    if (const auto worst = worst_of(*s_.found()->assessment, study_.room, s_.model.surface)) {
      plain(say("; worst "));
      time(static_cast<std::size_t>(worst->seen->moment));
      plain(say(", seen "));
      stand(static_cast<std::size_t>(worst->seen->viewer));
    }
    plain(".");
  }

  /// Both halves: what each is, what shows.
  void sides(const Found& right) {
    face();
    plain(": ");
    const int other = right.study->room.find(s_.model.surface);
    const SurfaceResult* theirs = right.assessment ? result_of(*right.assessment, right.study->room, s_.model.surface) : nullptr;
    const Finish mine = requested_finish(study_, surface_);
    const std::optional<Finish> finish = other >= 0 && right.study->room.surfaces[other].spec >= 0 ? std::optional(requested_finish(*right.study, other)) : std::nullopt;
    const bool levels = finish && finish->level != mine.level, runs = finish && finish->run != mine.run;
    const auto called = [&](const Study& study, const Finish& f, const char* otherwise) {
      return levels ? say("level {}", f.level) : runs ? run_words(study.room, surface_, f.run) : std::string(phrase(otherwise));
    };
    disc_of(counts_of(result_).worst());
    plain(called(study_, mine, later("as it is")) + ", ");
    joints(counts_words(counts_of(result_)));
    plain("; ");
    if (theirs) disc_of(counts_of(*theirs).worst());
    plain((finish ? called(*right.study, *finish, later("the right half")) : say("the right half")) + ", " + (theirs ? counts_words(counts_of(*theirs)) : "…"));
    const WaysFound* ways = s_.model.question == Question::way_round && s_.found()->ways && s_.found()->ways->surface == s_.model.surface ? s_.found()->ways.get() : nullptr;
    for (std::size_t i = 0; ways && i < ways->looked.size(); ++i) {
      const WayLooked& way = ways->looked[i];
      if (!(way.option.way == ways->ways.winner().way)) continue;
      plain(say("; best found: "), true);
      pieces_.push_back({run_words(study_.room, surface_, way.option.way.run) + ", " + counts_words(counts_of(way.judged)), "answer way", say("Shows it at the right of the divider; the job stays as it is."),
                         [this, edits = way_edits(study_, surface_, way.option.way)] { s_.model.compare(edits); }, {}, true});
    }
    plain(".");
  }

  /// The chosen joint: what a rule says, whether it is within what is published, whether it shows.
  void measured() {
    const JointResult* joint = nullptr;
    for (const JointResult& j : result_.joints)
      if (j.joint.line.id == s_.model.joint) joint = &j;
    if (!joint || joint->rules.empty()) return when();
    const auto slash = joint->joint.line.id.rfind('/');
    if (joint->worst >= 0) disc_of(joint->seen[static_cast<std::size_t>(joint->worst)].judged.verdict);
    joints(fmt::format("{} {}", upper_first(kind_words(joint->joint.line.kind)), slash == std::string::npos ? joint->joint.line.id : joint->joint.line.id.substr(slash + 1)));
    int in = 0, judged = 0;
    for (const StraightedgeReading& r : joint->straightedge)
      if (r.limit) ++judged, in += r.ok;
    const RuleReadings& rule = joint->rules[joint->rules.size() / 2];
    plain(": ");
    plain(in_units(study_.job.units, say("{} mm under {} mm", fixed_text(std::abs(rule.balanced) * mm_per_m, 1), fixed_text(rule.base * mm_per_m, 0))));
    if (judged > 0) plain(", " + (in == judged ? say("within all {} published limits", judged) : say("within {} of {} published limits", in, judged)));
    if (joint->worst >= 0) {
      const Seen& seen = joint->seen[static_cast<std::size_t>(joint->worst)];
      plain("; " + verdict_words(seen.judged.verdict) + " ");
      time(static_cast<std::size_t>(seen.moment));
      plain(say(", seen "), true);
      stand(static_cast<std::size_t>(seen.viewer), true);
    }
    plain(".");
  }

  Sight& s_;
  const Study& study_;
  const SurfaceResult& result_;
  int surface_;
  std::vector<Piece> pieces_;
};

float wide_of(const Sight& s, const std::vector<Piece>& pieces, bool spare) {
  float wide = 0;
  for (const Piece& p : pieces)
    if (spare || !p.spare) wide += p.disc ? 1.12f * s.em : ImGui::CalcTextSize(p.words.c_str()).x;
  return wide;
}

/// As large and as full as there is room for.
void draw_answer(Sight& s, const std::vector<Piece>& pieces, float room) {
  begin_large();
  bool large = true, spare = wide_of(s, pieces, true) <= room;
  if (!spare && wide_of(s, pieces, false) > room) {
    large = false;
    end_large();
    spare = wide_of(s, pieces, true) <= room;
  }
  ImGui::SetCursorPosY(0.5f * (answer_high * s.em - ImGui::GetTextLineHeight()));
  bool first = true;
  for (const Piece& p : pieces) {
    if (p.spare && !spare) continue;
    if (!first) ImGui::SameLine(0, 0);
    first = false;
    if (p.disc) {
      disc(s, *p.disc);
      ImGui::SameLine(0, 0.4f * s.em);
      first = true;
    } else if (p.name.empty()) {
      text(p.words);
    } else {
      if (word(s, p.name, p.words)) p.go();
      tip(p.why);
    }
  }
  s.mark("answer");
  if (large) end_large();
}

}  // namespace

void answer_region(Sight& s, const Region& r) {
  begin_region("answer", r, tone::raised);
  Model& m = s.model;
  const Found* found = s.found();
  std::string doing = s.work.doing;
  if (doing.empty()) doing = s.work.also_doing;
  // where the findings are a drawer, their handle stands at the right end
  const std::string findings = say("Findings");
  const bool handle = r.size.x < narrow * s.em && !m.sheet && found && found->assessment && !found->broken();
  const float right = handle ? button_wide(findings) : 0, room = r.size.x - 1.6f * s.em - right;
  const auto plain = [&](const std::string& words) { draw_answer(s, {{words, "", "", {}, {}, false}}, room); };
  float used = room;
  if (found && found->broken()) {
    plain(say("The job cannot be read as it stands; what is wrong is written below."));
  } else if (!found || !found->study || !found->assessment) {
    plain(doing.empty() ? say("One moment …") : upper_first(doing) + " …");
  } else {
    const Study& study = *found->study;
    const SurfaceResult* result = study.room.find(m.surface) >= 0 ? result_of(*found->assessment, study.room, m.surface) : nullptr;
    if (!result) {
      plain(found->assessment->surfaces.empty() ? say("Nothing is boarded yet: choose in the findings what is.") : say("Nothing is boarded on this face."));
    } else {
      draw_answer(s, Answer(s, study, *result).pieces(), room);
      used = ImGui::GetItemRectMax().x - r.at.x;
    }
    if (!doing.empty()) {
      const float wide = ImGui::CalcTextSize(doing.c_str()).x + 2.2f * s.em;
      if (used + wide + right < r.size.x) {
        ImGui::SameLine(r.size.x - wide - right);
        ImGui::SetCursorPosY(0.5f * (answer_high * s.em - ImGui::GetTextLineHeight()));
        soft_text(doing + " …");
      }
    }
  }
  if (handle) {
    ImGui::SetCursorPos({r.size.x - right - 0.3f * s.em, 0.5f * s.em});
    ImGui::PushStyleColor(ImGuiCol_Button, ImGui::ColorConvertU32ToFloat4(tone::panel));  // it stands on a button's own tone
    if (button(s, "findings", findings, m.drawer)) m.drawer = !m.drawer;
    ImGui::PopStyleColor();
    tip(say("The joints one by one, worst first (J)"));
  }
  end_region();
}

/// What the last thing did, over the foot of the picture, where nothing stands that is read.
void draw_notice(const Sight& s, const Region& picture) {
  const std::string& notice = s.model.notice;
  if (notice.empty()) return;
  const float pad = 0.8f * s.em, most = std::max(8 * s.em, picture.size.x - s.em - 2 * pad);
  const ImVec2 size = ImGui::CalcTextSize(notice.c_str(), nullptr, false, most);
  const ImVec2 hi{picture.at.x + picture.size.x - 0.5f * s.em, picture.at.y + picture.size.y - std::min(4 * s.em, 0.4f * picture.size.y) - 0.5f * s.em};
  const ImVec2 lo{std::max(0.0f, hi.x - size.x - 2 * pad), hi.y - size.y - 0.8f * s.em};
  ImDrawList* draw = ImGui::GetForegroundDrawList();
  draw->AddRectFilled(lo, hi, tone::ink);
  draw->AddText(ImGui::GetFont(), ImGui::GetFontSize(), {lo.x + pad, lo.y + 0.4f * s.em}, tone::white, notice.c_str(), nullptr, most);
  s.mark("notice", lo, hi);
}

namespace {

/// The grown plan lies within the picture's region; keys are heeded before the frame is laid out, so it is last frame's that is found.
void focus_plan() {
  for (ImGuiWindow* window : ImGui::GetCurrentContext()->Windows)
    if ((window->Active || window->WasActive) && std::string_view(window->Name).find("grown plan") != std::string_view::npos) ImGui::FocusWindow(window);
}

}  // namespace

void act(Sight& s, Action action) {
  Model& m = s.model;
  const Study* study = s.study();
  const auto shift_time = [&](int minutes) {
    if (m.moment && m.moment->time.given) {
      m.moment->time = moved_time(*m.moment->time, minutes);
      m.moment->time.given = true;
      m.moment->name = std::string();
    } else {
      m.notice = say("this time is under lamps alone: the hour makes no difference");
    }
  };
  const auto step = [&](double forward, double turn) {
    if (!study || !m.place) return;
    Standpoint& p = *m.place;
    if (p.only_facing()) p.facing.clear();
    dvec3 towards = p.target - p.eye;
    const double c = std::cos(turn), sn = std::sin(turn);
    towards = {c * towards.x - sn * towards.y, sn * towards.x + c * towards.y, towards.z};
    const dvec2 flat = glm::length(dvec2(towards)) > 1e-6 ? glm::normalize(dvec2(towards)) : dvec2(1, 0);
    const dvec2 to = dvec2(p.eye) + forward * flat;
    if (study->room.contains(to)) p.eye = {to.x, to.y, p.eye.z};
    p.target = p.eye + towards;
    p.viewer = "here";
  };
  const auto tilt = [&](double by) {
    if (!study || !m.place) return;
    step(0, 0);
    const dvec3 towards = m.place->target - m.place->eye;
    const double flat = glm::length(dvec2(towards)), pitch = std::clamp(std::atan2(towards.z, flat) + by, -1.4, 1.4);
    const dvec2 ahead = flat > 1e-6 ? dvec2(towards) / flat : dvec2(1, 0);
    m.place->target = m.place->eye + dvec3(std::cos(pitch) * ahead, std::sin(pitch));
  };
  const auto divide = [&](double by) { m.divider = std::clamp(m.divider + by, 0.05, 0.95); };
  constexpr double stride = 0.25, turning = 0.1;  // m, rad
  switch (action) {
    case Action::none: break;
    case Action::question_1: return ask(s, Question::when);
    case Action::question_2: return ask(s, Question::finish);
    case Action::question_3: return ask(s, Question::way_round);
    case Action::question_4: return ask(s, Question::measured);
    case Action::worst:
      if (s.found() && s.found()->assessment) go_to_worst(m, *s.found(), false);
      else m.notice = say("the joints are still being looked at");
      return;
    case Action::day_back: return m.walking ? step(0, turning) : shift_time(-24 * 60);
    case Action::day_on: return m.walking ? step(0, -turning) : shift_time(24 * 60);
    case Action::earlier: return m.walking ? step(stride, 0) : shift_time(-5);
    case Action::later: return m.walking ? step(-stride, 0) : shift_time(5);
    case Action::look_up: return tilt(turning);
    case Action::look_down: return tilt(-turning);
    case Action::divider_left: return divide(-0.05);
    case Action::divider_right: return divide(0.05);
    case Action::play: m.playing = !m.playing; return;
    case Action::next_place:
      if (study && !study->viewers.empty()) {
        std::size_t next = 0;
        for (std::size_t i = 0; i < study->viewers.size(); ++i)
          if (m.place && study->viewers[i].name == m.place->viewer && (!m.place->only_facing() || study->viewers[i].only_surface == study->room.find(m.place->facing))) next = (i + 1) % study->viewers.size();
        m.place = place_of(*study, study->viewers[next]);
        m.walking = false;
      }
      return;
    case Action::face_next_wall:
      if (study) {
        const int faces = study->room.ceiling() + 1, now = m.place && m.place->only_facing() ? study->room.find(m.place->facing) : -1;
        const int next = (now + 1) % faces;
        m.place = facing_place(*study, next);
        if (study->room.surfaces[next].spec >= 0) m.surface = study->room.surfaces[next].name, m.joint.clear();
        m.walking = false;
      }
      return;
    case Action::walk:
      m.walking = !m.walking;
      if (m.walking) step(0, 0);
      m.notice = m.walking ? say("walking: arrow keys, Page up and down tilt the head; G or Esc stops") : "";
      return;
    case Action::keep_place:
      if (!study || !stands_free(m)) {
        m.notice = say("first look round or walk: what is kept is where you stand then");
        return;
      }
      s.desk.placing = !s.desk.placing;
      s.desk.place_name = free_viewer_name(*study);
      return;
    case Action::sheet: m.sheet = !m.sheet; return;
    case Action::plan: m.plan_grown = !m.plan_grown; return;
    case Action::compare:
      if (!m.history.now().variation.empty()) m.keep_side(false);
      else ask(s, Question::finish);
      return;
    case Action::swap: return;  // held, see draw_view's caller
    case Action::keep_right: m.keep_side(true); return;
    case Action::relief: m.relief = !m.relief; return;
    case Action::exaggerate: m.amplify = m.amplify == 1 ? 2 : m.amplify == 2 ? 5 : m.amplify == 5 ? 10 : 1; return;
    case Action::outline: m.outlines = !m.outlines; return;
    case Action::figure: m.figure = !m.figure; return;
    case Action::stipple: m.stipple = !m.stipple; return;
    case Action::undo: m.undo(); return;
    case Action::redo: m.redo(); return;
    case Action::save: s.wishes.save = true; return;
    case Action::save_as:
      s.desk.naming = true;
      if (s.desk.name_for_saving.empty()) s.desk.name_for_saving = m.path.empty() ? "my-room.toml" : m.path;
      return;
    case Action::save_picture: s.wishes.save_picture = true; return;
    case Action::print_paper: s.wishes.print_paper = true; return;
    case Action::open: m.opening = !m.opening; return;
    case Action::reread: s.wishes.reread = true; return;
    case Action::drawer: m.drawer = !m.drawer; return;
    case Action::controls:
      m.controls = !m.controls;
      m.walking = false;
      if (m.controls) {
        const bool over = m.starting || m.opening || s.desk.naming || s.desk.placing || m.help || !s.desk.photometry.empty();  // it has the focus
        if (!over && m.plan_grown) focus_plan();
        else if (!over) ImGui::SetWindowFocus(m.sheet ? "job sheet" : static_cast<float>(s.input.width) < narrow * s.em ? (m.drawer ? "findings drawer" : "answer") : "findings");
      }
      m.notice = m.controls ? say("arrow keys go from control to control; Tab or Esc ends that") : "";
      return;
    case Action::next_language: {
      const std::vector<Language> known = languages();
      for (std::size_t i = 0; i < known.size(); ++i)
        if (known[i].code == language()) s.wishes.language = known[(i + 1) % known.size()].code;
      return;
    }
    case Action::help: m.help = !m.help; return;
    case Action::leave:
      if (m.history.trying()) m.history.drop(), s.desk.drag.reset(), m.moving = false;
      else if (s.desk.naming) s.desk.naming = false;
      else if (!s.desk.photometry.empty()) s.desk.photometry.clear();
      else if (s.desk.placing) s.desk.placing = false;
      else if (s.keeper.offered() && !m.help) s.keeper.not_now();
      else if (m.help) m.help = false;
      else if (m.sheet && ImGui::GetIO().WantTextInput) {}  // the field goes back to what stood in it
      else if (m.opening) m.opening = false;
      else if (m.starting) m.starting = false;
      else if (m.plan_grown) m.plan_grown = false;
      else if (m.sheet) m.sheet = false;
      else if (m.controls) m.controls = false;
      else if (m.walking) m.walking = false;
      else if (m.drawer) m.drawer = false;
      m.playing = false;
      m.notice.clear();
      return;
    case Action::quit: s.wishes.quit = true; return;
  }
}

void draw_view(Sight& s) {
  const float w = static_cast<float>(s.input.width), h = static_cast<float>(s.input.height), em = s.em;
  const bool drawer = w < narrow * em;
  const float top = (questions_high + answer_high) * em, findings = s.model.sheet ? std::min(sheet_wide * em, 0.66f * w) : std::min(findings_wide * em, 0.6f * w), time = std::min(time_high * em, 0.34f * h);
  const bool sheet = s.model.sheet;
  const Region picture{{0, top}, {drawer && !sheet ? w : w - findings, std::max(1.0f, h - top - time)}};
  questions_region(s, {{0, 0}, {w, questions_high * em}});
  answer_region(s, {{0, questions_high * em}, {w, answer_high * em}});
  time_region(s, {{0, h - time}, {w, time}});
  if (sheet) job_sheet(s, {{w - findings, top}, {findings, std::max(1.0f, h - top - time)}});
  else if (!drawer) findings_region(s, {{w - findings, top}, {findings, std::max(1.0f, h - top - time)}}, false);
  picture_region(s, picture);
  if (s.found() && s.found()->broken()) trouble_overlay(s, picture);
  if (drawer && s.model.drawer && !sheet) findings_region(s, {{w - findings, top}, {findings, std::max(1.0f, h - top - time)}}, true);
  if (s.model.starting) start_overlay(s, picture);
  if (s.model.opening || s.desk.naming) open_overlay(s, picture);
  if (s.desk.placing && (!s.study() || !stands_free(s.model))) s.desk.placing = false;
  if (s.desk.placing) place_overlay(s, picture);
  if (!s.desk.photometry.empty() && s.study() && !s.study()->job.lamps.empty()) photometry_overlay(s, picture);
  if (s.keeper.offered() || s.keeper.clash()) keeper_overlay(s, picture);
  if (s.model.help) help_overlay(s, {{0, top}, {w, h - top}});
  draw_notice(s, picture);
  // what was held is let go, whichever region it belonged to and whether that is still there
  const auto& buttons = s.input.buttons;
  if (!ImGui::IsAnyItemActive() && std::none_of(buttons.begin(), buttons.end(), [](bool down) { return down; })) {
    s.model.settle();
    s.model.moving = false;
    s.desk.drag.reset();
  }
}

}  // namespace rakelight
