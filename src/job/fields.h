// Which member of the job each key of the table fills. Called with a reader to read and with a collector to
// list; every key that is not "later" is visited exactly once (a test compares with the table).
#pragma once
#include "job/job.h"

namespace rakelight {

template <class F> void site_fields(auto& s, F&& f) {
  f("latitude", s.latitude_deg); f("longitude", s.longitude_deg); f("time_zone", s.time_zone); f("north", s.north);
  f("magnetic", s.magnetic); f("declination", s.declination); f("seen", s.seen); f("climate", s.climate);
  f("skyline", s.skyline); f("ground_reflectance", s.ground_reflectance);
  f("skyline_reflectance", s.skyline_reflectance); f("haze", s.turbidity);
  f("ground_below", s.ground_below); f("house_height", s.house_height);
}

template <class F> void room_fields(auto& r, F&& f) {
  f("corners", r.corners); f("height", r.height); f("floor_reflectance", r.floor_reflectance);
  f("wall_reflectance", r.wall_reflectance); f("ceiling_reflectance", r.ceiling_reflectance);
}

template <class F> void window_fields(auto& w, F&& f) {
  f("name", w.name); f("wall", w.wall); f("from_left", w.from_left); f("sill", w.sill); f("width", w.width);
  f("height", w.height); f("reveal", w.reveal); f("reveal_reflectance", w.reveal_reflectance);
  f("frame", w.frame); f("glazing", w.glazing); f("edge", w.edge); f("place", w.place);
  f("eaves", w.eaves); f("eaves_above", w.eaves_above); f("eaves_past", w.eaves_past);
  f("fin_left", w.fin_left); f("fin_right", w.fin_right); f("fin_off", w.fin_off); f("outer_reflectance", w.outer_reflectance);
  f("cover", w.cover); f("cover_direct", w.cover_direct); f("cover_scatter", w.cover_scatter); f("cover_reflectance", w.cover_reflectance);
}

template <class F> void door_fields(auto& d, F&& f) {
  f("wall", d.wall); f("from_left", d.from_left); f("width", d.width); f("height", d.height);
  f("reflectance", d.reflectance);
}

template <class F> void lamp_fields(auto& l, F&& f) {
  f("name", l.name); f("kind", l.kind); f("at", l.position); f("to", l.to); f("aim", l.aim); f("turn", l.turn);
  f("size", l.size); f("flux", l.flux); f("beam", l.beam); f("dim", l.dim); f("photometry", l.photometry); f("group", l.group);
}

template <class F> void surface_fields(auto& s, F&& f) {
  f("name", s.name); f("run", s.run); f("sheet", s.sheet); f("lengths", s.lengths); f("first_row", s.first_row);
  f("first_sheets", s.first_sheets); f("control_joints", s.control_joints); f("movement_joints", s.movement_joints);
  f("relax", s.relax); f("system", s.system); f("edge", s.edge); f("ripped_edge", s.ripped_edge);
  f("backing", s.backing); f("sprung_by", s.sprung_by); f("sprung_over", s.sprung_over);
  f("fixing", s.fixing); f("fixing_spacing", s.fixing_spacing); f("fixing_coat", s.fixing_coat); f("corners", s.corners);
  f("junction_top", s.junction_top); f("junction_bottom", s.junction_bottom); f("cornice", s.cornice); f("skirting", s.skirting);
  f("level", s.level); f("paint", s.paint.name);
  f("reflectance", s.reflectance);
}

template <class F> void paint_fields(auto& p, F&& f) {
  f("class", p.klass); f("gloss60", p.gloss60); f("gloss85", p.gloss85); f("sealer", p.sealer); f("coats", p.coats);
  f("applied", p.applied); f("nap", p.nap); f("texture", p.texture); f("lining", p.lining); f("colour", p.colour);
}

template <class F> void finishing_fields(auto& g, F&& f) {
  f("scheme", g.scheme); f("readings", g.readings); f("workmanship", g.workmanship); f("compound", g.compound); f("tools", g.tools);
  f("tape", g.tape); f("recoat", g.recoat); f("sanding", g.sanding);
}

template <class F> void framing_fields(auto& g, F&& f) {
  f("spacing", g.spacing); f("first", g.first); f("direction", g.direction); f("flatness", g.flatness);
}

template <class F> void access_fields(auto& a, F&& f) {
  f("people", a.people); f("each_kg", a.each_kg); f("board_mass", a.board_mass); f("hoist", a.hoist); f("door", a.door);
  f("passage", a.passage); f("turn", a.turn); f("lift", a.lift);
}

template <class F> void measured_fields(auto& m, F&& f) {
  f("like", m.like); f("recessed_crown", m.recessed_crown); f("butt_crown", m.butt_crown); f("lap_ridge", m.lap_ridge);
  f("step", m.step); f("tape_edge", m.tape_edge);
}

template <class F> void joint_fields(auto& j, F&& f) { f("id", j.id); f("width", j.width); f("kind", j.kind); f("measured", j.measured); }

template <class F> void moment_fields(auto& m, F&& f) {
  f("name", m.name); f("at", m.time); f("sky", m.sky); f("lamps", m.lamps);
}

template <class F> void lamp_use_fields(auto& u, F&& f) {
  f("name", u.name); f("dim", u.dim); f("at", u.position); f("aim", u.aim);
}

template <class F> void viewer_fields(auto& v, F&& f) { f("name", v.name); f("eye", v.eye); f("look", v.look); }

template <class F> void verdict_fields(auto& v, F&& f) {
  f("gain", v.gain); f("band", v.band); f("faint", v.faint); f("shows", v.shows); f("chance", v.chance); f("age", v.age);
}

template <class F> void rates_fields(auto& r, F&& f) {
  f("currency", r.currency); f("hour", r.hour); f("visit", r.visit); f("sheet", r.sheet); f("compound_kg", r.compound_kg);
  f("tape_m", r.tape_m); f("bead_m", r.bead_m);
}

template <class F> void drying_fields(auto& d, F&& f) { f("temperature", d.temperature); f("humidity", d.humidity); }

template <class F> void paper_fields(auto& p, F&& f) {
  f("date", p.date); f("page", p.page); f("client", p.client); f("site", p.site); f("finisher", p.finisher);
  f("framing_by", p.framing_by); f("paint_by", p.paint_by); f("heating", p.heating); f("return_visit", p.return_visit);
  f("valid_days", p.valid_days); f("start", p.start); f("hands", p.hands); f("day_hours", p.day_hours);
  f("days_a_week", p.days_a_week);
}

}  // namespace rakelight
