// Sets blocks on pages: lines are broken, nothing is clipped, no heading stands alone at the foot of a page.
#pragma once
#include <functional>
#include <memory>
#include <string>
#include <vector>

#include "report/paper.h"

// as cairo has them: who only counts pages needs nothing of it
extern "C" {
typedef struct _cairo cairo_t;
typedef struct _cairo_surface cairo_surface_t;
}

namespace rakelight {

/// Points from the top left corner.
struct PageArea { double width = 595.276, height = 841.89, margin = 42.5; };
PageArea area_of(PageSize page);

class PageSetter {
 public:
  explicit PageSetter(const Paper& paper);
  ~PageSetter();

  /// A piece that is never cut: its height, and how it is drawn with its top left corner at (x, y).
  struct Piece {
    double height = 0, above = 0;          ///< `above`: white space before it, left out at the top of a page
    bool with_next = false;                ///< never the last on a page
    std::function<void(cairo_t*, double x, double y)> draw;
    int outline = 0;                       ///< level in the outline; 0 = none
    std::string outline_text;
    int head_of = -1;                      ///< rows of a table: index of the piece that is set again at the top of a page
  };
  struct Placed { const Piece* piece; double y; };
  struct Page { std::vector<Placed> placed; };

  const std::vector<Page>& pages() const { return pages_; }
  /// Draws all pages on a PDF surface of the paper's size.
  void draw(cairo_surface_t* pdf) const;

 private:
  struct Layout { std::vector<Piece> pieces; std::vector<Page> pages; };
  struct Ruler;
  /// `tightness`: 0 as designed; up to 1 pictures give way, and type a little; beyond it type.
  Layout lay(const PaperSection& section, double tightness);
  std::vector<Page> fill(const std::vector<Piece>& pieces) const;

  const Paper& paper_;
  PageArea area_;
  std::unique_ptr<Ruler> ruler_;
  std::vector<std::unique_ptr<Layout>> sections_;
  std::vector<Page> pages_;
};

}  // namespace rakelight
