// Sets blocks on pages. (Over 500 lines: a function a kind of block, all on one pen.)
#include "report/page_setter.h"

#include <cairo-pdf.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <fmt/format.h>
#include <memory>
#include <stdexcept>

#include "report/plain_text.h"

namespace rakelight {
namespace {

constexpr double pt_per_mm = 72 / 25.4;
constexpr double body_size = 9.2, leading = 1.34, least_size = 7;
constexpr std::array<double, 3> head_sizes{0, 16, 11.5};
constexpr double cell_gap = 7, box_side = 0.78;

using Piece = PageSetter::Piece;

/// Type of one size and weight on the ruler or a page.
struct Type { double size = body_size; bool strong = false; double grey = 0; };

void use(cairo_t* c, const Type& type) {
  cairo_select_font_face(c, text_family, CAIRO_FONT_SLANT_NORMAL, type.strong ? CAIRO_FONT_WEIGHT_BOLD : CAIRO_FONT_WEIGHT_NORMAL);
  cairo_set_font_size(c, type.size);
}

double width_of(cairo_t* c, const Type& type, const std::string& text) {
  use(c, type);
  cairo_text_extents_t extents{};
  cairo_text_extents(c, text.c_str(), &extents);
  return extents.x_advance;
}

void put(cairo_t* c, const Type& type, double x, double baseline, const std::string& text) {
  use(c, type);
  cairo_set_source_rgb(c, type.grey, type.grey, type.grey);
  cairo_move_to(c, x, baseline);
  cairo_show_text(c, text.c_str());
}

void rule(cairo_t* c, double x0, double y0, double x1, double y1, double width, double grey) {
  cairo_set_source_rgb(c, grey, grey, grey);
  cairo_set_line_width(c, width);
  cairo_move_to(c, x0, y0);
  cairo_line_to(c, x1, y1);
  cairo_stroke(c);
}

void box(cairo_t* c, double x, double y, double side) {
  cairo_set_source_rgb(c, 0, 0, 0);
  cairo_set_line_width(c, 0.7);
  cairo_rectangle(c, x, y, side, side);
  cairo_stroke(c);
}

/// Bytes of the UTF-8 character at `i`.
std::size_t character(const std::string& text, std::size_t i) {
  std::size_t n = 1;
  while (i + n < text.size() && (static_cast<unsigned char>(text[i + n]) & 0xC0u) == 0x80u) ++n;
  return n;
}

/// Lines no wider than `room`, broken at spaces, and inside a word only where it is longer than a line.
std::vector<std::string> broken(cairo_t* c, const Type& type, const std::string& text, double room) {
  std::vector<std::string> lines;
  std::string line;
  const auto fits = [&](const std::string& t) { return width_of(c, type, t) <= room + 0.01; };
  for (std::size_t at = 0; at <= text.size();) {
    const std::size_t end = std::min(text.find_first_of(" \n", at), text.size());
    std::string word = text.substr(at, end - at);
    if (!word.empty()) {
      const std::string longer = line.empty() ? word : line + " " + word;
      if (fits(longer)) {
        line = longer;
      } else {
        if (!line.empty()) lines.push_back(line);
        line.clear();
        while (!fits(word)) {
          std::size_t cut = character(word, 0);
          while (cut < word.size() && fits(word.substr(0, cut + character(word, cut)))) cut += character(word, cut);
          if (cut >= word.size()) break;
          lines.push_back(word.substr(0, cut));
          word.erase(0, cut);
        }
        line = word;
      }
    }
    if (end < text.size() && text[end] == '\n') {
      lines.push_back(line);
      line.clear();
    }
    at = end + 1;
  }
  if (!line.empty() || lines.empty()) lines.push_back(line);
  return lines;
}

SurfacePtr grey_surface(const Image& image) {
  SurfacePtr surface(cairo_image_surface_create(CAIRO_FORMAT_RGB24, image.width, image.height));
  if (cairo_surface_status(surface.get()) != CAIRO_STATUS_SUCCESS) throw std::runtime_error("no memory for a picture of the paper");
  unsigned char* data = cairo_image_surface_get_data(surface.get());
  const int stride = cairo_image_surface_get_stride(surface.get());
  for (int y = 0; y < image.height; ++y)
    for (int x = 0; x < image.width; ++x) {
      unsigned char* pixel = data + static_cast<std::ptrdiff_t>(y) * stride + 4 * x;
      for (int k = 0; k < 3; ++k) pixel[k] = static_cast<unsigned char>(std::clamp(image.at(x, y, image.channels == 3 ? 2 - k : 0), 0.0f, 255.0f));
    }
  cairo_surface_mark_dirty(surface.get());
  return surface;
}

/// A picture `px` wide in a thin frame.
void draw_picture(cairo_t* c, cairo_surface_t* picture, double x, double y, double width, double height, int px) {
  cairo_save(c);
  cairo_translate(c, x, y);
  cairo_scale(c, width / px, width / px);
  cairo_set_source_surface(c, picture, 0, 0);
  cairo_paint(c);
  cairo_restore(c);
  cairo_set_source_rgb(c, 0, 0, 0);
  cairo_set_line_width(c, 0.4);
  cairo_rectangle(c, x, y, width, height);
  cairo_stroke(c);
}

/// Turns one section's blocks into pieces.
class Composer {
 public:
  Composer(cairo_t* ruler, double width, double most_height, double tightness)
      : c_(ruler), width_(width), most_height_(most_height), scale_(1 - 0.12 * tightness), pictures_(std::max(0.4, 1 - 0.5 * tightness)) {}

  std::vector<Piece> all(const PaperSection& section) {
    headline({section.title, 1});
    for (const PaperBlock& block : section.blocks) std::visit([this](const auto& b) { compose(b); }, block);
    if (!pieces_.empty()) pieces_.back().with_next = false;
    return std::move(pieces_);
  }

 private:
  double size(double s = body_size) const { return std::max(least_size, s * scale_); }

  void headline(const Headline& h) {
    const Type type{head_sizes[static_cast<std::size_t>(h.level)] * scale_, true};
    const std::vector<std::string> lines = broken(c_, type, h.text, width_);
    for (std::size_t i = 0; i < lines.size(); ++i) {
      Piece p;
      p.height = type.size * 1.25;
      p.above = i == 0 ? type.size * (h.level == 1 ? 0.2 : 0.9) : 0;
      p.with_next = true;
      p.draw = [type, text = lines[i]](cairo_t* c, double x, double y) { put(c, type, x, y + type.size * 0.95, text); };
      if (i == 0) {
        p.outline = h.level;
        p.outline_text = h.text;
      }
      pieces_.push_back(std::move(p));
    }
    pieces_.back().height += type.size * 0.25;
  }

  /// Lines of one paragraph: never its first or its last line alone on a page.
  void lines(const std::vector<std::string>& text, const Type& type, double indent, double above, const std::function<void(cairo_t*, double, double)>& mark = {}) {
    for (std::size_t i = 0; i < text.size(); ++i) {
      Piece p;
      p.height = type.size * leading;
      p.above = i == 0 ? above : 0;
      p.with_next = text.size() > 1 && (i == 0 || i + 2 == text.size());
      p.draw = [type, line = text[i], indent, mark = i == 0 ? mark : nullptr](cairo_t* c, double x, double y) {
        if (mark) mark(c, x, y);
        put(c, type, x + indent, y + type.size * 1.0, line);
      };
      pieces_.push_back(std::move(p));
    }
  }

  void compose(const Headline& h) { headline(h); }

  void compose(const Para& para) {
    const Type type{size(para.small ? body_size * 0.86 : body_size), para.strong, para.small ? 0.2 : 0};
    lines(broken(c_, type, para.text, width_), type, 0, type.size * 0.45);
    pieces_.back().with_next = para.with_next;
  }

  void compose(const Points& points) {
    const Type type{size()};
    const double indent = type.size * 1.5;
    for (const std::string& item : points.items) {
      const bool ticks = points.ticks;
      const double s = type.size;
      lines(broken(c_, type, item, width_ - indent), type, indent, s * (ticks ? 0.4 : 0.25), [ticks, s](cairo_t* c, double x, double y) {
        if (ticks) box(c, x + 0.5, y + s * 0.28, s * box_side);
        else put(c, Type{s}, x + s * 0.35, y + s, "•");
      });
    }
  }

  void compose(const Grid& grid) {
    // type gets smaller before words are broken inside
    double s = size(body_size * 0.9);
    std::vector<double> widths;
    for (;; s -= 0.3) {
      if (column_widths(grid, s, width_, widths) || s <= least_size - 1) break;
    }
    const Type head{s, true}, plain{s};
    const int head_index = static_cast<int>(pieces_.size());
    add_row(grid, grid.head, head, widths, true, -1);
    for (std::size_t r = 0; r < grid.rows.size(); ++r) {
      add_row(grid, grid.rows[r], plain, widths, false, head_index);
      // not one row alone under its head, nor one alone over the page
      if (grid.rows.size() > 1 && (r == 0 || r + 2 == grid.rows.size())) pieces_.back().with_next = true;
    }
  }

  /// Whether every column is as wide as its longest word; widths add up to the page's at most.
  bool column_widths(const Grid& grid, double s, double room, std::vector<double>& widths) {
    const std::size_t n = grid.head.size();
    std::vector<double> least(n, 0), natural(n, 0);
    const auto look = [&](const std::vector<std::string>& row, bool strong) {
      for (std::size_t i = 0; i < n && i < row.size(); ++i) {
        const Type type{s, strong};
        natural[i] = std::max(natural[i], width_of(c_, type, row[i]));
        for (std::size_t at = 0; at < row[i].size();) {
          const std::size_t end = std::min(row[i].find_first_of(" \n", at), row[i].size());
          least[i] = std::max(least[i], width_of(c_, type, row[i].substr(at, end - at)));
          at = end + 1;
        }
      }
    };
    look(grid.head, true);
    for (const auto& row : grid.rows) look(row, false);
    const double free = room - cell_gap * static_cast<double>(n - 1);
    double sum_least = 0, sum_natural = 0;
    for (std::size_t i = 0; i < n; ++i) {
      sum_least += least[i];
      sum_natural += natural[i];
    }
    if (sum_natural <= free) {
      // room to spare is shared out, but for what would tear a small table apart
      const double spare = std::min((free - sum_natural) / static_cast<double>(n), 36.0);
      for (std::size_t i = 0; i < n; ++i) natural[i] += spare;
      widths = natural;
      return true;
    }
    widths.assign(n, 0);
    if (sum_least > free) {
      for (std::size_t i = 0; i < n; ++i) widths[i] = least[i] * free / sum_least;
      return false;
    }
    // what is over goes to the columns that would use it
    const double share = (free - sum_least) / (sum_natural - sum_least);
    for (std::size_t i = 0; i < n; ++i) widths[i] = least[i] + share * (natural[i] - least[i]);
    return true;
  }

  void add_row(const Grid& grid, const std::vector<std::string>& row, const Type& type, const std::vector<double>& widths, bool is_head, int head) {
    std::vector<std::vector<std::string>> cells;
    std::size_t most = 1;
    for (std::size_t i = 0; i < widths.size(); ++i) {
      cells.push_back(broken(c_, type, i < row.size() ? row[i] : "", widths[i]));
      most = std::max(most, cells.back().size());
    }
    std::vector<double> at(widths.size());
    for (std::size_t i = 1; i < widths.size(); ++i) at[i] = at[i - 1] + widths[i - 1] + cell_gap;
    std::vector<bool> right = grid.right;
    right.resize(widths.size(), false);
    Piece p;
    const double line = type.size * 1.25, pad = type.size * (grid.tall && !is_head ? 0.6 : 0.22);
    p.height = line * static_cast<double>(most) + 2 * pad;
    p.above = is_head ? type.size * 0.6 : 0;
    p.with_next = is_head;
    p.head_of = head;
    const double full = width_;
    std::vector<double> offsets;
    for (std::size_t i = 0; i < cells.size(); ++i)
      for (const std::string& text : cells[i]) offsets.push_back(right[i] ? widths[i] - width_of(c_, type, text) : 0);
    p.draw = [cells, at, offsets, type, line, pad, height = p.height, is_head, full](cairo_t* c, double x, double y) {
      std::size_t k = 0;
      for (std::size_t i = 0; i < cells.size(); ++i)
        for (std::size_t l = 0; l < cells[i].size(); ++l, ++k)
          if (!cells[i][l].empty()) put(c, type, x + at[i] + offsets[k], y + pad + line * static_cast<double>(l) + type.size, cells[i][l]);
      rule(c, x, y + height, x + full, y + height, is_head ? 0.8 : 0.3, is_head ? 0 : 0.65);
    };
    pieces_.push_back(std::move(p));
  }

  /// A picture with its facts to its right.
  void beside(const Photo& photo) {
    const double gap = 12;
    double w = width_ * 0.62, h = w * photo.image.height / photo.image.width;
    const double most = most_height_ * photo.most_height * pictures_;
    if (h > most) {
      w *= most / h;
      h = most;
    }
    const Column words = column(photo.heading, photo.beside, width_ - w - gap);
    Piece p;
    p.height = std::max(h, words.height) + 3;
    p.above = size() * 0.5;
    const std::shared_ptr<cairo_surface_t> surface(grey_surface(photo.image).release(), cairo_surface_destroy);
    p.draw = [surface, words, w, h, gap, px = photo.image.width](cairo_t* c, double x, double top) {
      draw_picture(c, surface.get(), x, top, w, h, px);
      words.draw(c, x + w + gap, top);
    };
    pieces_.push_back(std::move(p));
  }

  void compose(const Photos& photos) {
    if (!photos.photos.empty() && !photos.photos[0].beside.empty()) {
      for (const Photo& photo : photos.photos) {
        beside(photo);
        pieces_.back().with_next = &photo == &photos.photos.back() && !photos.caption.empty();
      }
      if (!photos.caption.empty()) compose(Para{photos.caption, false, true});
      return;
    }
    const int across = std::max(1, std::min(photos.across, static_cast<int>(photos.photos.size())));
    const double gap = 8, each = (width_ - gap * (across - 1)) / across;
    for (std::size_t first = 0; first < photos.photos.size(); first += static_cast<std::size_t>(across)) {
      struct Cell { std::shared_ptr<cairo_surface_t> surface; std::vector<std::string> heading; double width, height; int px; };
      std::vector<Cell> cells;
      const Type type{size(body_size * 0.92), true};
      double tallest = 0;
      std::size_t heads = 0;
      for (std::size_t i = first; i < std::min(photos.photos.size(), first + static_cast<std::size_t>(across)); ++i) {
        const Photo& photo = photos.photos[i];
        double w = each * (across == 1 ? pictures_ : 1), h = w * photo.image.height / photo.image.width;
        const double most = most_height_ * 0.42 * pictures_;
        if (h > most) {
          w *= most / h;
          h = most;
        }
        Cell cell{std::shared_ptr<cairo_surface_t>(grey_surface(photo.image).release(), cairo_surface_destroy), {}, w, h, photo.image.width};
        if (!photo.heading.empty()) cell.heading = broken(c_, type, photo.heading, each);
        heads = std::max(heads, cell.heading.size());
        tallest = std::max(tallest, h);
        cells.push_back(std::move(cell));
      }
      Piece p;
      const double line = type.size * 1.25, head_height = line * static_cast<double>(heads) + (heads > 0 ? 2 : 0);
      p.height = head_height + tallest + 2;
      p.above = type.size * 0.6;
      p.with_next = !photos.caption.empty() && first + static_cast<std::size_t>(across) >= photos.photos.size();
      p.draw = [cells, type, line, head_height, each, gap](cairo_t* c, double x, double y) {
        for (std::size_t i = 0; i < cells.size(); ++i) {
          const Cell& cell = cells[i];
          const double left = x + static_cast<double>(i) * (each + gap);
          for (std::size_t l = 0; l < cell.heading.size(); ++l) put(c, type, left, y + line * static_cast<double>(l) + type.size, cell.heading[l]);
          draw_picture(c, cell.surface.get(), left, y + head_height, cell.width, cell.height, cell.px);
        }
      };
      pieces_.push_back(std::move(p));
    }
    if (!photos.caption.empty()) compose(Para{photos.caption, false, true});
  }


  /// Lines of text one below the other, from the top.
  struct Column {
    struct Line { std::string text; Type type; double y; };
    std::vector<Line> lines;
    double height = 0;
    void draw(cairo_t* c, double x, double y) const {
      for (const Line& line : lines) put(c, line.type, x, y + line.y, line.text);
    }
  };
  Column column(const std::string& heading, const std::vector<std::string>& items, double room) const {
    const Type strong{size(), true}, plain{size(body_size * 0.95)};
    Column out;
    const auto add = [&](const std::string& text, const Type& type) {
      for (const std::string& line : broken(c_, type, text, room)) {
        out.lines.push_back({line, type, out.height + type.size});
        out.height += type.size * 1.25;
      }
      out.height += type.size * 0.3;
    };
    if (!heading.empty()) add(heading, strong);
    for (const std::string& item : items) add(item, plain);
    return out;
  }

  void compose(const Plate& plate) {
    const Drawing& d = plate.drawing;
    const double scale = std::min({pt_per_mm, width_ / d.width, std::min(plate.most_height * pt_per_mm, most_height_ - 60) / d.height});
    Piece p;
    p.height = d.height * scale;
    p.above = body_size * 0.6;
    p.with_next = !plate.caption.empty();
    const double gap = 14, right = d.width * scale + gap;
    const Column words = plate.beside.empty() ? Column() : column("", plate.beside, std::max(60.0, width_ - right));
    p.height = std::max(p.height, words.height);
    p.draw = [d, scale, words, right](cairo_t* c, double x, double y) {
      cairo_save(c);
      cairo_translate(c, x, y);
      cairo_scale(c, scale, scale);
      draw_drawing(c, d);
      cairo_restore(c);
      words.draw(c, x + right, y);
    };
    pieces_.push_back(std::move(p));
    if (!plate.caption.empty()) compose(Para{plate.caption, false, true});
  }

  void compose(const Blanks& blanks) {
    const Type type{size(body_size * 0.95)};
    const double gap = 18, each = (width_ - gap) / 2;
    for (std::size_t i = 0; i < blanks.blanks.size(); i += 2) {
      struct Cell { std::vector<std::string> lines; double used = 0; bool empty = false; };
      std::vector<Cell> cells;
      std::size_t most = 1;
      for (std::size_t k = i; k < std::min(i + 2, blanks.blanks.size()); ++k) {
        const Blank& blank = blanks.blanks[k];
        Cell cell;
        cell.empty = blank.value.empty() && !blank.label.empty();
        cell.lines = broken(c_, type, blank.value.empty() ? blank.label : blank.label + ": " + blank.value, each);
        cell.used = width_of(c_, type, cell.lines.back());
        most = std::max(most, cell.lines.size());
        cells.push_back(std::move(cell));
      }
      const bool to_fill = std::any_of(cells.begin(), cells.end(), [](const Cell& c) { return c.empty; });
      const double first = type.size * (to_fill ? 1.9 : 1.2);
      Piece p;
      p.height = first + type.size * (leading * static_cast<double>(most - 1) + 0.5);
      p.with_next = i + 2 < blanks.blanks.size();
      p.draw = [cells, type, each, gap, first](cairo_t* c, double x, double y) {
        for (std::size_t k = 0; k < cells.size(); ++k) {
          const double left = x + static_cast<double>(k) * (each + gap);
          double base = y + first;
          for (std::size_t l = 0; l < cells[k].lines.size(); ++l) put(c, type, left, base + type.size * leading * static_cast<double>(l), cells[k].lines[l]);
          base += type.size * leading * static_cast<double>(cells[k].lines.size() - 1);
          if (cells[k].empty && cells[k].used + 20 < each) rule(c, left + cells[k].used + 6, base + 1.5, left + each, base + 1.5, 0.5, 0.2);
        }
      };
      pieces_.push_back(std::move(p));
    }
  }

  void compose(const Tones&) {
    Piece p;
    const double height = size() * 1.5;
    p.height = 2 * height + 2;
    p.above = size() * 0.5;
    p.with_next = true;
    p.draw = [width = width_, height](cairo_t* c, double x, double y) {
      constexpr int steps = tone_steps;
      for (int row = 0; row < 2; ++row)
        for (int i = 0; i < steps; ++i) {
          const double grey = strip_tone(row, i);
          cairo_set_source_rgb(c, grey, grey, grey);
          cairo_rectangle(c, x + width * i / steps, y + row * (height + 2), width / steps + (i + 1 < steps ? 0.3 : 0), height);
          cairo_fill(c);
        }
      cairo_set_source_rgb(c, 0, 0, 0);
      cairo_set_line_width(c, 0.4);
      for (int row = 0; row < 2; ++row) cairo_rectangle(c, x, y + row * (height + 2), width, height);
      cairo_stroke(c);
    };
    pieces_.push_back(std::move(p));
    compose(Para{tone_words(), false, true});
  }

  void compose(const Slide&) {}

  cairo_t* c_;
  double width_, most_height_, scale_, pictures_;
  std::vector<Piece> pieces_;
};

}  // namespace

PageArea area_of(PageSize page) {
  PageArea a;
  if (page == PageSize::letter) {
    a.width = 612;
    a.height = 792;
  }
  return a;
}

/// What text is measured on.
struct PageSetter::Ruler {
  SurfacePtr surface{cairo_recording_surface_create(CAIRO_CONTENT_COLOR_ALPHA, nullptr)};
  DrawPtr draw{cairo_create(surface.get())};
  Ruler() { use_plain_text(draw.get()); }
};

PageSetter::PageSetter(const Paper& paper)
    : paper_(paper), area_(area_of(paper.page)), ruler_(std::make_unique<Ruler>()) {
  for (const PaperSection& section : paper.sections) {
    double tightness = 0;
    auto layout = std::make_unique<Layout>(lay(section, tightness));
    while (section.most_pages > 0 && static_cast<int>(layout->pages.size()) > section.most_pages && tightness < 2.4) {
      tightness += 0.08;
      *layout = lay(section, tightness);
    }
    pages_.insert(pages_.end(), layout->pages.begin(), layout->pages.end());
    sections_.push_back(std::move(layout));
  }
}

PageSetter::~PageSetter() = default;

PageSetter::Layout PageSetter::lay(const PaperSection& section, double tightness) {
  Layout out;
  const double foot = 22;
  out.pieces = Composer(ruler_->draw.get(), area_.width - 2 * area_.margin, area_.height - 2 * area_.margin - foot, tightness).all(section);
  out.pages = fill(out.pieces);
  return out;
}

std::vector<PageSetter::Page> PageSetter::fill(const std::vector<Piece>& pieces) const {
  const double top = area_.margin, bottom = area_.height - area_.margin - 22;
  std::vector<Page> pages(1);
  double y = top;
  for (std::size_t i = 0; i < pieces.size();) {
    // what may not be parted from what follows moves as one
    std::size_t end = i + 1;
    while (end < pieces.size() && pieces[end - 1].with_next) ++end;
    double height = 0;
    for (std::size_t k = i; k < end; ++k) height += pieces[k].height + (k == i && pages.back().placed.empty() ? 0 : pieces[k].above);
    if (y + height > bottom && !pages.back().placed.empty()) {
      pages.emplace_back();
      y = top;
      const int head = pieces[i].head_of;
      if (head >= 0) {
        pages.back().placed.push_back({&pieces[static_cast<std::size_t>(head)], y});
        y += pieces[static_cast<std::size_t>(head)].height;
      }
    }
    for (; i < end; ++i) {
      // a group taller than a page is parted where it must be
      if (y + pieces[i].height > bottom && !pages.back().placed.empty()) {
        pages.emplace_back();
        y = top;
      }
      if (!pages.back().placed.empty()) y += pieces[i].above;
      pages.back().placed.push_back({&pieces[i], y});
      y += pieces[i].height;
    }
  }
  return pages;
}

void PageSetter::draw(cairo_surface_t* pdf) const {
  const DrawPtr c(cairo_create(pdf));
  use_plain_text(c.get());
  int section = CAIRO_PDF_OUTLINE_ROOT, number = 0;
  for (const Page& page : pages_) {
    ++number;
    for (const Placed& placed : page.placed) {
      const Piece& p = *placed.piece;
      if (p.outline > 0) {
        const std::string link = fmt::format("page={} pos=[{:.1f} {:.1f}]", number, area_.margin, placed.y);
        const int parent = p.outline == 1 ? CAIRO_PDF_OUTLINE_ROOT : section;
        const int added = cairo_pdf_surface_add_outline(pdf, parent, p.outline_text.c_str(), link.c_str(), p.outline == 1 ? CAIRO_PDF_OUTLINE_FLAG_OPEN : static_cast<cairo_pdf_outline_flags_t>(0));
        if (p.outline == 1) section = added;
      }
      p.draw(c.get(), area_.margin, placed.y);
    }
    const double foot = area_.height - area_.margin + 4;
    rule(c.get(), area_.margin, foot - 12, area_.width - area_.margin, foot - 12, 0.3, 0.5);
    const Type type{7.2, false, 0.25};
    const std::string count = fmt::format("page {} of {}", number, pages_.size());
    const double used = width_of(c.get(), type, count);
    put(c.get(), type, area_.margin, foot, broken(c.get(), type, paper_.foot, area_.width - 2 * area_.margin - used - 16).front());
    put(c.get(), type, area_.width - area_.margin - used, foot, count);
    cairo_show_page(c.get());
  }
  if (cairo_status(c.get()) != CAIRO_STATUS_SUCCESS) throw std::runtime_error(std::string("cannot set the pages: ") + cairo_status_to_string(cairo_status(c.get())));
}

}  // namespace rakelight
