// When: a card with the time that is shown, and the year as days across and hours down.
#include <imgui.h>
#include <imgui_stdlib.h>

#include <algorithm>
#include <charconv>
#include <cmath>
#include <fmt/format.h>

#include "report/year.h"
#include "window/view.h"
#include "window/words.h"

namespace rakelight {
namespace {

ImU32 tone_of(Verdict v) { return v == Verdict::shows ? tone::accent : v == Verdict::faint ? tone::faint : tone::hidden; }

/// Whole numbers between marks: "2026-06-21" to {2026, 6, 21}; empty when it is not `count` of them.
std::vector<int> numbers_in(const std::string& text, std::size_t count) {
  std::vector<int> out;
  const char *at = text.data(), *end = text.data() + text.size();
  while (at < end) {
    int v = 0;
    const auto [next, error] = std::from_chars(at, end, v);
    if (error != std::errc() || v < 0) return {};
    out.push_back(v);
    at = next;
    if (at < end) ++at;
  }
  return out.size() == count ? out : std::vector<int>{};
}

void set_time(Model& m, const LocalTime& time) {
  if (!m.moment) return;
  m.moment->time = time;
  m.moment->time.given = true;
  m.moment->name = std::string();
  if (*m.moment->sky == SkyName::none) m.moment->sky = SkyName::clear;
}

void card(Sight& s, float wide) {
  Model& m = s.model;
  ImGui::BeginChild("card", {wide, 0}, false);
  const float right = ImGui::GetWindowPos().x + wide;
  if (!m.moment) {
    text(say("No time yet"));
    ImGui::EndChild();
    return;
  }
  MomentSpec& moment = *m.moment;
  const Study* study = s.study();
  ImGui::SetNextItemWidth(-1);
  const std::string shown = moment.name->empty() ? say("another time") : *moment.name;
  if (ImGui::BeginCombo("##moments", shown.c_str())) {
    if (study)
      for (std::size_t i = 0; i < study->job.moments.size(); ++i) {
        const MomentSpec& other = study->job.moments[i];
        if (ImGui::Selectable(fmt::format("{}##moment{}", *other.name, i).c_str(), *other.name == *moment.name)) m.moment = other;
        s.mark(fmt::format("moment {}", i + 1));
      }
    ImGui::EndCombo();
  }
  s.mark("moments");
  tip(say("The job's own times."));
  const bool dated = moment.time.given;
  const LocalTime& t = *moment.time;
  // typed text stands until it is entered or left
  const auto typed = [&](const char* label, const std::string& now, std::string& text, float width) {
    ImGui::SetNextItemWidth(width * s.em);
    if (s.desk.typing_in != label) text = now;
    ImGui::InputText(label, &text);
    if (ImGui::IsItemActive()) s.desk.typing_in = label;
    else if (s.desk.typing_in == label) s.desk.typing_in.clear();
    const bool entered = ImGui::IsItemDeactivatedAfterEdit();
    s.mark(label + 2);
    return entered;
  };
  if (typed("##date", dated ? fmt::format("{:04}-{:02}-{:02}", t.year, t.month, t.day) : say("no date"), s.desk.date, 6.6f)) {
    const auto n = numbers_in(s.desk.date, 3);
    if (n.size() == 3 && n[0] >= 1950 && n[0] <= 2050 && n[1] >= 1 && n[1] <= 12 && n[2] >= 1 && n[2] <= days_in(n[0], n[1])) {
      LocalTime to = dated ? t : time_on_day(n[0], 1, 12 * 60);
      to.year = n[0], to.month = n[1], to.day = n[2];
      to.offset_minutes.reset();
      set_time(m, to);
    } else {
      m.notice = n.size() == 3 && n[1] >= 1 && n[1] <= 12 && n[2] > 28 ? say("{} has no such day", s.desk.date.substr(0, 7)) : say("a date is written 2026-06-21, from 1950 to 2050");
    }
  }
  tip(say("Year, month, day. Left and Right move by a day."));
  ImGui::SameLine();
  if (typed("##clock", dated ? fmt::format("{:02}:{:02}", t.hour, t.minute) : "–", s.desk.clock, 3.8f)) {
    const auto n = numbers_in(s.desk.clock, 2);
    if (n.size() == 2 && n[0] < 24 && n[1] < 60) {
      LocalTime to = dated ? t : time_on_day(m.year, 172, 0);
      to.hour = n[0], to.minute = n[1], to.second = 0;
      to.offset_minutes.reset();
      set_time(m, to);
    } else {
      m.notice = say("a time of day is written 20:40");
    }
  }
  tip(say("The clock at the site. Up and Down move by five minutes."));
  ImGui::SameLine();
  if (button(s, "play", m.playing ? say("Stop") : say("Play"))) m.playing = !m.playing;
  tip(say("Lets the time run, five minutes a step (T)."));
  ImGui::SameLine();
  if (button(s, "worst", say("Worst"))) act(s, Action::worst);
  tip(say("The worst of the job's times, and where it is seen from (W)."));
  static constexpr std::pair<SkyName, const char*> skies[] = {{SkyName::clear, later("clear")}, {SkyName::intermediate, later("veiled")}, {SkyName::overcast, later("overcast")}, {SkyName::none, later("lamps only")}};
  static constexpr const char* why_skies[] = {later("Sun and blue sky: what rakes hardest."), later("Thin cloud: the sun is there, softer."), later("No sun: light from the whole sky."), later("Night: what the lamps alone show.")};
  for (const auto& [sky, words] : skies) {
    if (sky != SkyName::clear) beside_or_below(button_wide(phrase(words)), right);
    if (button(s, std::string("sky ") + words, std::string(phrase(words)), *moment.sky == sky) && (sky == SkyName::none || dated)) {
      moment.sky = sky;
      moment.name = std::string();
      m.year_sky = sky == SkyName::overcast ? overcast_type : sky == SkyName::intermediate ? intermediate_type : clear_type;
    }
    tip(phrase(sky == SkyName::clear ? why_skies[0] : sky == SkyName::intermediate ? why_skies[1] : sky == SkyName::overcast ? why_skies[2] : why_skies[3]));
  }
  if (study) {
    for (const LampSpec& lamp : study->job.lamps) {
      const std::string& name = *lamp.name;
      if (&lamp != &study->job.lamps.front()) beside_or_below(button_wide(name) + 2 * s.em, right);
      const auto named = [&](const std::string& n) { return n == name || (!lamp.group->empty() && n == *lamp.group); };
      bool on = moment.all_lamps || std::any_of(moment.lamps->begin(), moment.lamps->end(), named) ||
                std::any_of(moment.lamp_uses.begin(), moment.lamp_uses.end(), [&](const LampUse& u) { return named(*u.name); });
      if (ImGui::Checkbox(name.c_str(), &on)) {
        // by name from now on, so that one of a group can be switched alone
        std::vector<std::string> names;
        for (const LampSpec& other : study->job.lamps) {
          const bool was = moment.all_lamps || std::any_of(moment.lamps->begin(), moment.lamps->end(), [&](const std::string& n) { return n == *other.name || (!other.group->empty() && n == *other.group); });
          if (&other == &lamp ? on : was) names.push_back(*other.name);
        }
        moment.all_lamps = false;
        moment.lamp_uses.clear();
        for (const std::string& n : names) {
          LampUse use;
          use.name = n;
          moment.lamp_uses.push_back(use);
        }
        moment.lamps = names;
        moment.lamps.given = true;
        moment.name = std::string();
      }
      s.mark("lamp switch " + name);
      tip(say("Whether this lamp is lit at this time."));
    }
  }
  ImGui::EndChild();
}

/// The chart's strokes for one face; once per year and face.
void chart_strokes(Sight& s, const std::shared_ptr<const YearFound>& found) {
  Desk& desk = s.desk;
  if (desk.charted == found && desk.charted_face == s.model.surface) return;
  desk.charted = found;
  desk.charted_face = s.model.surface;
  desk.strokes.clear();
  if (!found || !s.study()) return;
  const SiteSpec& site = s.study()->job.site;
  std::size_t face = found->year.faces.size();
  for (std::size_t f = 0; f < found->year.faces.size(); ++f)
    if (found->year.faces[f].surface == s.study()->room.find(s.model.surface)) face = f;
  desk.first_hour = 24;
  desk.last_hour = 0;
  for (std::size_t d = 0; d < found->year.days.size(); ++d) {
    const YearDay& day = found->year.days[d];
    const auto stretch = [&](double from, double to, Verdict verdict, bool light) {
      const double a = clock_time(site, from).hours, b = clock_time(site, to).hours, end = b > a || to - from < 1e-9 ? b : 24;
      desk.strokes.push_back({static_cast<int>(d), a, end, verdict, light});
      if (light) desk.first_hour = std::min(desk.first_hour, a), desk.last_hour = std::max(desk.last_hour, end);
    };
    const double rise = std::isfinite(day.sunrise) ? day.sunrise : day.from, set = std::isfinite(day.sunset) ? day.sunset : day.to;
    if (day.light && set > rise) stretch(rise, set, Verdict::hidden, true);
    if (day.light && set < rise) stretch(day.from, set, Verdict::hidden, true), stretch(rise, day.to, Verdict::hidden, true);
    if (face < day.runs.size())
      for (const YearRun& run : day.runs[face]) stretch(run.from, run.to, run.verdict, false);
  }
  if (desk.first_hour >= desk.last_hour) desk.first_hour = 0, desk.last_hour = 24;
  desk.first_hour = std::max(0.0, std::floor(desk.first_hour - 1));
  desk.last_hour = std::min(24.0, std::ceil(desk.last_hour + 1));
}

void chart(Sight& s, ImVec2 at, ImVec2 size) {
  Model& m = s.model;
  ImDrawList* draw = ImGui::GetWindowDrawList();
  const float left = 3 * s.em, band = 0.8f * s.em, foot = 1.2f * s.em, head = 1.25f * s.em;
  const ImVec2 lo{at.x + left, at.y + head}, hi{at.x + size.x, at.y + size.y - band - foot - 0.2f * s.em};
  if (hi.x - lo.x < 20 || hi.y - lo.y < 10) return;
  const std::shared_ptr<const YearFound> found = s.found() ? s.found()->year : nullptr;
  if (found) chart_strokes(s, found);
  const Desk& desk = s.desk;
  const int year = found ? found->year.year : m.year;
  const double days = found && !found->year.days.empty() ? static_cast<double>(found->year.days.size()) : 365;
  const auto x = [&](double day) { return lo.x + static_cast<float>(day / days) * (hi.x - lo.x); };
  const auto y = [&](double hour) { return lo.y + static_cast<float>((std::clamp(hour, desk.first_hour, desk.last_hour) - desk.first_hour) / (desk.last_hour - desk.first_hour)) * (hi.y - lo.y); };
  const bool known = found && !found->year.days.empty();
  draw->AddRectFilled(lo, hi, known ? tone::night : tone::raised);
  std::string title = s.work.also_doing.empty() ? say("the year") : s.work.also_doing + " …";
  const Study* study = s.study();
  if (found && study) {
    for (const Desk::Stroke& st : desk.strokes) draw->AddRectFilled({x(st.day), y(st.from)}, {x(st.day + 1), y(st.to)}, tone_of(st.verdict));
    title = upper_first(face_text(study->room, std::max(0, study->room.find(m.surface)))) + ": ";
    for (const YearFace& face : found->year.faces)
      if (face.surface == study->room.find(m.surface)) title += face.shows_days == 0 ? say("never shows by daylight") : say("shows on {} days of {}, {:.0f} h", face.shows_days, year, face.shows_hours);
    title += say(", always the {} sky, lamps off", sky_words(type_text(found->year.sky_type)));
    for (const LampsAlone& lamp : found->lamps)
      if (lamp.surface == study->room.find(m.surface) && !lamp.joint.empty()) draw->AddRectFilled({lo.x, hi.y + 0.2f * s.em}, {hi.x, hi.y + 0.2f * s.em + band}, tone_of(lamp.judged.verdict));
    if (found->year.days.empty()) title = say("the year needs the site: latitude, longitude and time_zone in [site]");
  } else if (!found && s.work.also_doing.empty() && s.work.doing.empty()) {
    title = say("the year is not worked out");
  }
  // what the tones are, where there is room beside the title; else in the tooltip
  float legend = 0;
  static constexpr std::pair<Verdict, const char*> tones[] = {{Verdict::shows, later("shows")}, {Verdict::faint, later("faint")}, {Verdict::hidden, later("hidden")}};
  for (const auto& [verdict, words] : tones) legend += ImGui::CalcTextSize(std::string(phrase(words)).c_str()).x + 2.0f * s.em;
  const bool beside = known && ImGui::CalcTextSize(title.c_str()).x + legend < hi.x - lo.x;
  draw->AddText({lo.x, at.y}, tone::ink, shortened(title, hi.x - lo.x).c_str());
  float swatch = hi.x - legend + s.em;
  for (const auto& [verdict, words] : tones) {
    if (!beside) break;
    draw->AddRectFilled({swatch, at.y + 0.15f * s.em}, {swatch + 0.7f * s.em, at.y + 0.85f * s.em}, tone_of(verdict));
    draw->AddText({swatch + s.em, at.y}, tone::soft, std::string(phrase(words)).c_str());
    swatch += ImGui::CalcTextSize(std::string(phrase(words)).c_str()).x + 2.0f * s.em;
  }
  draw->AddText({at.x, hi.y}, tone::soft, say("lamps").c_str());
  const double hours_apart = (hi.y - lo.y) / (desk.last_hour - desk.first_hour) * 3 > 1.1f * s.em ? 3 : 6;
  for (double h = std::ceil(desk.first_hour / hours_apart) * hours_apart; h <= desk.last_hour; h += hours_apart) {
    const std::string text = fmt::format("{:02.0f}:00", h);
    if (y(h) < hi.y - 0.7f * s.em || h == desk.last_hour) draw->AddText({at.x, std::min(y(h) - 0.5f * s.em, hi.y - 0.9f * s.em)}, tone::soft, text.c_str());
    draw->AddLine({lo.x - 0.3f * s.em, y(h)}, {lo.x, y(h)}, tone::line);
  }
  static constexpr const char* months[] = {later("Jan"), later("Feb"), later("Mar"), later("Apr"), later("May"), later("Jun"),
                                           later("Jul"), later("Aug"), later("Sep"), later("Oct"), later("Nov"), later("Dec")};
  for (int month = 1; month <= 12; ++month) {
    LocalTime first;
    first.year = year, first.month = month, first.day = 1;
    const float at_x = x(day_of_year(first) - 1);
    draw->AddLine({at_x, hi.y + band + 0.2f * s.em}, {at_x, hi.y + band + 0.5f * s.em}, tone::line);
    if (x(30) - x(0) > 2.4f * s.em) draw->AddText({at_x + 0.2f * s.em, hi.y + band + 0.2f * s.em}, tone::soft, std::string(phrase(months[month - 1])).c_str());
  }
  if (m.moment && m.moment->time.given && *m.moment->sky != SkyName::none) {
    const LocalTime& t = *m.moment->time;
    const float cx = x(day_of_year(t) - 0.5), cy = y(t.hour + t.minute / 60.0);
    draw->AddLine({cx, lo.y}, {cx, hi.y}, tone::ink);
    draw->AddCircleFilled({cx, cy}, 0.42f * s.em, tone::white, 16);
    draw->AddCircle({cx, cy}, 0.42f * s.em, tone::ink, 16, 1.5f);
  }
  ImGui::SetCursorScreenPos(lo);
  ImGui::InvisibleButton("year", {hi.x - lo.x, hi.y - lo.y});
  s.mark("year", lo, hi);
  if (ImGui::IsItemActive() && s.input.buttons[0] && m.moment) {
    const double day = std::clamp((s.input.mouse.x - lo.x) / (hi.x - lo.x) * days, 0.0, days - 0.01);
    const double hour = std::clamp(desk.first_hour + (s.input.mouse.y - lo.y) / (hi.y - lo.y) * (desk.last_hour - desk.first_hour), 0.0, 23.99);
    const LocalTime to = time_on_day(year, static_cast<int>(day) + 1, static_cast<int>(hour * 60) / 5 * 5);
    const LocalTime& now = *m.moment->time;
    if (!m.moment->time.given || *m.moment->sky == SkyName::none || now.day != to.day || now.month != to.month || now.hour != to.hour || now.minute != to.minute) {
      set_time(m, to);
      m.moving = true;
    }
  }
  if (ImGui::IsItemHovered() && !ImGui::IsItemActive()) tip(say("Drag to any day and hour. Left and Right move by a day, Up and Down by five minutes. Orange: a joint shows; mid grey: faint; light: hidden; dark: night."));
}

}  // namespace

void time_region(Sight& s, const Region& r) {
  begin_region("time", r, tone::panel);
  const float wide = std::min(21 * s.em, 0.4f * r.size.x);
  card(s, wide);
  chart(s, {r.at.x + wide + 1.8f * s.em, r.at.y + 0.4f * s.em}, {std::max(1.0f, r.size.x - wide - 2.6f * s.em), std::max(1.0f, r.size.y - 0.6f * s.em)});
  end_region();
}

}  // namespace rakelight
