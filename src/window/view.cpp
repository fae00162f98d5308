// Where the regions stand, and the two lines at the top: the questions and the answer.
#include "window/view.h"

#include <algorithm>
#include <fmt/format.h>

#include "base/text.h"
#include "window/taken.h"
#include "window/words.h"

namespace rakelight {
namespace {

constexpr double narrow = 75;          // em: below, the findings are a drawer
constexpr float questions_high = 3, answer_high = 2.5f, findings_wide = 24, sheet_wide = 46, time_high = 10;

void ask(Sight& s, Question question) { ask_question(s.model, question, s.found()); }

/// The text, or as much of it as is no wider, with dots where it is cut.
std::string shortened(std::string text, float wide) {
  if (ImGui::CalcTextSize(text.c_str()).x <= wide) return text;
  const auto continuation = [](char c) { return (static_cast<unsigned char>(c) & 0xC0u) == 0x80u; };
  while (!text.empty() && ImGui::CalcTextSize((text + "…").c_str()).x > wide) {
    while (text.size() > 1 && continuation(text.back())) text.pop_back();
    text.pop_back();
  }
  while (text.ends_with(' ')) text.pop_back();
  return text + "…";
}

/// Words that are no button, on the same line.
void beside(std::string_view words) {
  ImGui::SameLine(0, 0);
  text(words);
}

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
  const std::string start = say("Start my room"), job = say("The job"), undo = say("Undo"), open = say("Open"), save = say("Save"), paper = say("Paper");
  const float edges = 1.6f * s.em, gap = 1.5f * s.em;
  float asks = 0, tools = button_wide("?");
  for (const Entry& e : entries) asks += button_wide(phrase(e.words));
  for (const std::string* words : {&job, &undo, &open, &save, &paper}) tools += button_wide(*words);
  // on a narrow window the title gives way, then the first room, which is asked for once, then all that has a key too
  const bool starts = r.size.x > asks + tools + button_wide(start) + edges;
  if (starts) tools += button_wide(start);
  const float free = r.size.x - asks - tools - edges - 2 * gap, wanted = std::min(free, std::max(24 * s.em, ImGui::CalcTextSize(title.c_str()).x));
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
  if (r.size.x > asks + tools + edges) {
    ImGui::SameLine(r.size.x - tools - 0.5f * edges);
    if (starts) {
      if (button(s, "start my room", start, m.starting)) m.starting = !m.starting;
      tip(say("A job for a room of your own: five numbers, then the window by dragging."));
      ImGui::SameLine();
    }
    if (button(s, "the job", job, m.sheet)) m.sheet = !m.sheet;
    tip(say("Everything that the job holds, to read and to edit (E)"));
    ImGui::SameLine();
    if (button(s, "undo", undo)) m.undo();
    tip(m.history.can_undo() ? say("takes back: {}", m.history.now().what) : say("nothing to undo"));
    ImGui::SameLine();
    if (button(s, "open", open, m.opening)) m.opening = !m.opening;
    ImGui::SameLine();
    if (button(s, "save", save)) s.wishes.save = true;
    tip(say("Only what you changed is written; comments and order stay."));
    ImGui::SameLine();
    if (button(s, "paper", paper, s.paper_busy)) s.wishes.print_paper = true;
    tip(say("The paper for client and site, as PDF beside the job (Ctrl Shift P)"));
    ImGui::SameLine();
    if (button(s, "help", "?", m.help)) m.help = !m.help;
    tip(say("All keys (F1)"));
  }
  end_region();
}

void answer_region(Sight& s, const Region& r) {
  begin_region("answer", r, tone::raised);
  Model& m = s.model;
  const Found* found = s.found();
  ImGui::SetCursorPosY(0.6f * s.em);
  std::string doing = s.work.doing;
  if (doing.empty()) doing = s.work.also_doing;
  if (found && found->broken()) {
    text(say("The job cannot be read as it stands; what is wrong is written below."));
    s.mark("answer");
  } else if (!found || !found->study || !found->assessment) {
    text(doing.empty() ? say("One moment …") : upper_first(doing) + " …");
    s.mark("answer");
  } else {
    const Study& study = *found->study;
    const int surface = study.room.find(m.surface);
    const SurfaceResult* result = surface >= 0 ? result_of(*found->assessment, study.room, m.surface) : nullptr;
    if (!result) {
      text(found->assessment->surfaces.empty() ? say("Nothing is boarded yet: the job has no [[surface]].") : say("Nothing is boarded on this face."));
    } else {
      const Counts c = counts_of(*result);
      const auto worst = worst_of(*found->assessment, study.room, m.surface);
      const bool shows = c.shows > 0;
      disc(s, shows ? Verdict::shows : c.faint > 0 ? Verdict::faint : Verdict::hidden);
      ImGui::SameLine(0, 0.5f * s.em);
      if (word(s, "answer face", upper_first(face_text(study.room, surface)))) m.place = facing_place(study, surface);
      tip(say("Face it, square on."));
      beside(", ");
      ImGui::SameLine(0, 0);
      if (word(s, "answer level", say("level {}", result->finish.level))) ask(s, Question::finish);
      tip(say("Compare it with another level."));
      beside(": ");
      ImGui::SameLine(0, 0);
      const int count = shows ? c.shows : c.faint;
      const std::string joints = count == 0 ? say("no joint shows") : shows ? (count == 1 ? say("1 joint shows") : say("{} joints show", count)) : count == 1 ? say("1 joint is faint") : say("{} joints are faint", count);
      if (word(s, "answer joints", joints) && worst) {
        m.joint = worst->joint->joint.line.id;
        m.drawer = true;
      }
      tip(say("The worst of them, opened in the findings."));
      if (worst) {
        beside(say("; worst "));
        ImGui::SameLine(0, 0);
        if (word(s, "answer time", when_text(study.job.moments[worst->seen->moment]))) m.moment = study.job.moments[worst->seen->moment];
        tip(say("Go to that time."));
        beside(say(", seen "));
        ImGui::SameLine(0, 0);
        if (word(s, "answer place", where_text(study.viewers[worst->seen->viewer].name))) m.place = place_of(study, study.viewers[worst->seen->viewer]);
        tip(say("Stand there."));
      }
      beside(".");
      s.mark("answer");
    }
    if (!doing.empty() && r.size.x > 70 * s.em) {
      const float wide = ImGui::CalcTextSize(doing.c_str()).x + 2.2f * s.em;
      ImGui::SameLine(r.size.x - wide);
      soft_text(doing + " …");
    }
  }
  if (!m.notice.empty()) {
    const float wide = ImGui::CalcTextSize(m.notice.c_str()).x + 1.6f * s.em;
    ImDrawList* draw = ImGui::GetForegroundDrawList();
    const ImVec2 at{std::max(0.0f, r.at.x + r.size.x - wide), r.at.y + r.size.y};
    draw->AddRectFilled(at, {at.x + wide, at.y + 1.9f * s.em}, tone::ink);
    draw->AddText({at.x + 0.8f * s.em, at.y + 0.4f * s.em}, tone::white, m.notice.c_str());
  }
  end_region();
}

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
      m.notice = m.walking ? say("walking: arrow keys; G or Esc stops") : "";
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
      if (m.controls) ImGui::SetWindowFocus("findings");
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
  // what was held is let go, whichever region it belonged to and whether that is still there
  const auto& buttons = s.input.buttons;
  if (!ImGui::IsAnyItemActive() && std::none_of(buttons.begin(), buttons.end(), [](bool down) { return down; })) {
    s.model.settle();
    s.model.moving = false;
    s.desk.drag.reset();
  }
}

}  // namespace rakelight
