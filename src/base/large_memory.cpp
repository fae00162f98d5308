#include "base/large_memory.h"

#if defined(__linux__)
#include <sys/mman.h>
#endif
#if defined(__GLIBC__)
#include <malloc.h>
#endif

namespace rakelight {

void* take_memory(std::size_t bytes) {
  constexpr std::size_t page = std::size_t{2} << 20;
  void* p = nullptr;
  if (bytes >= large_block) {
    p = std::aligned_alloc(page, (bytes + page - 1) / page * page);
#if defined(__linux__) && defined(MADV_HUGEPAGE)
    // refused where the system has no such pages: ordinary ones do
    if (p) madvise(p, bytes / page * page, MADV_HUGEPAGE);
#endif
  } else {
    p = std::malloc(bytes > 0 ? bytes : 1);
  }
  if (!p) throw std::bad_alloc();
  return p;
}

void keep_freed_memory() {
#if defined(__GLIBC__)
  mallopt(M_MMAP_THRESHOLD, 32 << 20);
  mallopt(M_TRIM_THRESHOLD, 256 << 20);
  mallopt(M_TOP_PAD, 4 << 20);
#endif
}

}  // namespace rakelight
