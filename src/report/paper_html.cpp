// The paper as one HTML file: pictures inside it, no outside request, its one script is the slider's.
#include <fmt/format.h>

#include "report/paper.h"
#include "report/report.h"

namespace rakelight {
namespace {

std::string escaped(const std::string& text) {
  std::string out;
  for (char c : text) {
    if (c == '&') out += "&amp;";
    else if (c == '<') out += "&lt;";
    else if (c == '>') out += "&gt;";
    else if (c == '"') out += "&quot;";
    else if (c == '\n') out += "<br>";
    else out += c;
  }
  return out;
}

std::string base64(const std::string& bytes) {
  constexpr char digits[] = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
  std::string out;
  out.reserve(bytes.size() * 4 / 3 + 4);
  for (std::size_t i = 0; i < bytes.size(); i += 3) {
    const std::size_t n = std::min<std::size_t>(3, bytes.size() - i);
    unsigned value = 0;
    for (std::size_t k = 0; k < 3; ++k) value = value << 8 | (k < n ? static_cast<unsigned char>(bytes[i + k]) : 0u);
    for (std::size_t k = 0; k < 4; ++k) out += k <= n ? digits[value >> (18 - 6 * k) & 63] : '=';
  }
  return out;
}

std::string picture(const Photo& photo, const std::string& more = "") {
  return fmt::format("<img{} src=\"data:image/png;base64,{}\" width=\"{}\" height=\"{}\" alt=\"{}\">", more, base64(png_bytes(photo.image)), photo.image.width, photo.image.height,
                     escaped(photo.alt));
}

constexpr const char* style = R"(
:root{color-scheme:light}*{box-sizing:border-box}
body{margin:0 auto;max-width:62rem;padding:1rem;font:16px/1.45 "DejaVu Sans",system-ui,sans-serif;color:#000;background:#fff}
h1{font-size:1.6rem;margin:2.2rem 0 .6rem;border-top:2px solid #000;padding-top:.5rem}h2{font-size:1.15rem;margin:1.4rem 0 .4rem}
p,li,h1,h2,figcaption{overflow-wrap:anywhere}.row>*,.beside>*{min-width:0}
img,svg{max-width:100%;height:auto;display:block;border:1px solid #000}svg{border:0}
figure{margin:1rem 0}figcaption,.small{font-size:.86rem;color:#333}
.row{display:grid;gap:.6rem;grid-template-columns:repeat(auto-fit,minmax(min(100%,18rem),1fr))}
.beside{display:grid;gap:.2rem 1rem;grid-template-columns:repeat(auto-fit,minmax(min(100%,20rem),1fr));margin:.8rem 0}.beside ul{margin:.3rem 0;padding-left:1.1rem}
.wide{overflow-x:auto}table{border-collapse:collapse;width:100%;font-size:.9rem}th,td{text-align:left;vertical-align:top;padding:.25rem .5rem;border-bottom:1px solid #aaa}
th{border-bottom:2px solid #000}.r{text-align:right}
ul.ticks{list-style:none;padding-left:0}ul.ticks li{padding-left:1.6rem;position:relative;margin:.35rem 0}
.box{display:inline-block;width:.9em;height:.9em;border:1.5px solid #000}ul.ticks .box{position:absolute;left:0;top:.25em}
.blanks{display:grid;gap:1rem 2rem;grid-template-columns:repeat(auto-fit,minmax(min(100%,18rem),1fr));margin:1rem 0}.blanks div{display:flex;gap:.5rem;padding-top:1.4rem}.blanks i{flex:1;border-bottom:1px solid #000}
.blanks i{font-style:normal;min-width:4rem}.tall td span{display:block;min-height:1.5em}
@media screen and (max-width:40rem){.tall thead{display:none}.tall tr{display:block;border-top:2px solid #000;margin-bottom:.8rem}.tall td{display:flex;gap:.5rem}.tall td::before{content:attr(data-asks);flex:0 0 11rem}.tall td span{flex:1}}
.tones{display:flex;height:1.6rem;margin:2px 0}.tones i{flex:1}
.slide{position:relative;user-select:none}.slide img{width:100%}.slide .after{position:absolute;inset:0;clip-path:inset(0 0 0 50%)}
.slide .bar{position:absolute;top:0;bottom:0;left:50%;width:2px;margin-left:-1px;background:#fff;box-shadow:0 0 0 1px #000;pointer-events:none}
.slide input{position:absolute;inset:0;width:100%;height:100%;margin:0;opacity:0;cursor:ew-resize;touch-action:pan-y}
.slide input:focus-visible~.bar{outline:3px solid #000}.sides{display:flex;justify-content:space-between;gap:1rem;font-weight:bold;font-size:.9rem}.sides span:last-child{text-align:right}
nav ol{columns:2 14rem}@media print{h1{break-before:page}nav,.onscreen{display:none}figure,tr{break-inside:avoid}}
)";

constexpr const char* script = R"(
for(const s of document.querySelectorAll('.slide')){const i=s.querySelector('input'),a=s.querySelector('.after'),b=s.querySelector('.bar');
const f=()=>{a.style.clipPath='inset(0 0 0 '+i.value+'%)';b.style.left=i.value+'%'};i.addEventListener('input',f);f()}
)";

class Page {
 public:
  std::string out;

  void operator()(const Headline& h) { out += fmt::format("<h2>{}</h2>\n", escaped(h.text)); }
  void operator()(const Para& p) {
    const std::string text = escaped(p.text);
    out += p.strong ? fmt::format("<p><strong>{}</strong></p>\n", text) : fmt::format("<p{}>{}</p>\n", p.small ? " class=\"small\"" : "", text);
  }
  void operator()(const Points& points) {
    out += points.ticks ? "<ul class=\"ticks\">\n" : "<ul>\n";
    for (const std::string& item : points.items) out += fmt::format("<li>{}{}</li>\n", points.ticks ? "<span class=\"box\"></span>" : "", escaped(item));
    out += "</ul>\n";
  }
  void operator()(const Grid& grid) {
    out += grid.tall ? "<div class=\"wide\"><table class=\"tall\">\n<thead>" : "<div class=\"wide\"><table>\n<thead>";
    row(grid, grid.head, "th");
    out += "</thead>\n<tbody>\n";
    for (const auto& cells : grid.rows) {
      if (grid.tall) to_write_in(grid, cells);
      else row(grid, cells, "td");
    }
    out += "</tbody></table></div>\n";
  }
  /// A row that is typed into; on a phone a line for each of its cells, with what is asked before it.
  void to_write_in(const Grid& grid, const std::vector<std::string>& cells) {
    out += "<tr>";
    for (std::size_t i = 0; i < cells.size(); ++i)
      out += fmt::format("<td data-asks=\"{}\"><span{}>{}</span></td>", escaped(grid.head[i]), i == 0 ? "" : " contenteditable=\"plaintext-only\" inputmode=\"text\"", escaped(cells[i]));
    out += "</tr>\n";
  }
  void operator()(const Photos& photos) {
    out += photos.across > 1 ? "<figure><div class=\"row\">\n" : "<figure><div>\n";
    for (const Photo& photo : photos.photos) {
      const std::string heading = photo.heading.empty() ? "" : "<strong>" + escaped(photo.heading) + "</strong>";
      if (photo.beside.empty()) {
        out += "<div>" + heading + picture(photo) + "</div>\n";
        continue;
      }
      out += "<div class=\"beside\">" + picture(photo) + "<div>" + heading + "<ul>";
      for (const std::string& line : photo.beside) out += "<li>" + escaped(line) + "</li>";
      out += "</ul></div></div>\n";
    }
    out += fmt::format("</div><figcaption>{}</figcaption></figure>\n", escaped(photos.caption));
  }
  void operator()(const Plate& plate) {
    std::string svg = svg_text(plate.drawing);
    svg.erase(0, svg.find("<svg"));
    svg.insert(4, fmt::format(" role=\"img\" aria-label=\"{}\"", escaped(plate.alt.empty() ? plate.caption : plate.alt)));
    std::string beside;
    for (const std::string& line : plate.beside) beside += "<li>" + escaped(line) + "</li>";
    if (!beside.empty()) svg = "<div class=\"beside\">" + svg + "<ul>" + beside + "</ul></div>";
    out += fmt::format("<figure>{}<figcaption>{}</figcaption></figure>\n", svg, escaped(plate.caption));
  }
  void operator()(const Blanks& blanks) {
    out += "<div class=\"blanks\">\n";
    for (const Blank& b : blanks.blanks)
      out += b.label.empty() ? "<div></div>\n" : b.value.empty() ? fmt::format("<div>{}<i contenteditable=\"plaintext-only\"></i></div>\n", escaped(b.label)) : fmt::format("<p>{}: {}</p>\n", escaped(b.label), escaped(b.value));
    out += "</div>\n";
  }
  void operator()(const Tones&) {
    for (int strip = 0; strip < 2; ++strip) {
      out += "<div class=\"tones\" aria-hidden=\"true\">";
      for (int i = 0; i < tone_steps; ++i) {
        const double grey = strip_tone(strip, i);
        out += fmt::format("<i style=\"background:rgb({0:.1f} {0:.1f} {0:.1f})\"></i>", 255 * grey);
      }
      out += "</div>\n";
    }
    (*this)(Para{tone_words(), false, true});
  }
  void operator()(const Slide& slide) {
    out += fmt::format("<figure class=\"onscreen\"><div class=\"sides\"><span>{}</span><span>{}</span></div><div class=\"slide\">{}{}"
                       "<input type=\"range\" min=\"0\" max=\"100\" value=\"50\" step=\"0.5\" aria-label=\"before and after\"><span class=\"bar\"></span></div>"
                       "<figcaption>{}</figcaption></figure>\n",
                       escaped(slide.before.heading), escaped(slide.after.heading), picture(slide.before), picture(slide.after, " class=\"after\""), escaped(slide.caption));
  }

 private:
  void row(const Grid& grid, const std::vector<std::string>& cells, const char* tag) {
    out += "<tr>";
    for (std::size_t i = 0; i < grid.head.size(); ++i)
      out += fmt::format("<{0}{1}>{2}</{0}>", tag, i < grid.right.size() && grid.right[i] ? " class=\"r\"" : "", escaped(i < cells.size() ? cells[i] : ""));
    out += "</tr>\n";
  }
};

}  // namespace

std::string paper_html(const Paper& paper) {
  Page page;
  page.out = fmt::format("<!DOCTYPE html>\n<html lang=\"{}\">\n<head><meta charset=\"utf-8\"><meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">"
                         "<meta name=\"generator\" content=\"Rakelight\"><title>{}</title><link rel=\"icon\" href=\"data:,\"><style>{}</style></head>\n<body>\n",
                         paper.language, escaped(paper.title), style);
  if (paper.sections.size() > 1) {
    page.out += "<nav><ol>";
    for (std::size_t i = 0; i < paper.sections.size(); ++i) page.out += fmt::format("<li><a href=\"#s{}\">{}</a></li>", i + 1, escaped(paper.sections[i].title));
    page.out += "</ol></nav>\n";
  }
  for (std::size_t i = 0; i < paper.sections.size(); ++i) {
    page.out += fmt::format("<section id=\"s{}\"><h1>{}</h1>\n", i + 1, escaped(paper.sections[i].title));
    for (const PaperBlock& block : paper.sections[i].blocks) std::visit(page, block);
    page.out += "</section>\n";
  }
  page.out += fmt::format("<p class=\"small\">{}</p>\n<script>{}</script>\n</body></html>\n", escaped(paper.foot), script);
  return page.out;
}

}  // namespace rakelight
