#include "base/large_memory.h"

#include <cstdint>

#if defined(__linux__)
#include <sys/mman.h>
#include <unistd.h>
#endif
#if defined(__GLIBC__)
#include <malloc.h>
#endif

namespace rakelight {
namespace {

constexpr std::size_t page = std::size_t{2} << 20;

}  // namespace

void* take_memory(std::size_t bytes) {
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

void settle_memory() {
#if defined(__GLIBC__) && defined(__linux__) && defined(MADV_HUGEPAGE)
  constexpr std::size_t ahead = 16 * page;
  mallopt(M_TOP_PAD, static_cast<int>(ahead));
  mallopt(M_TRIM_THRESHOLD, static_cast<int>(2 * ahead));
  mallopt(M_MMAP_THRESHOLD, static_cast<int>(large_block));
  // the heap grows by what is asked for and by `ahead`
  void* asked = std::malloc(large_block / 4);
  const auto from = (reinterpret_cast<std::uintptr_t>(asked) + page - 1) / page * page, to = reinterpret_cast<std::uintptr_t>(sbrk(0)) / page * page;
  std::free(asked);
  // elsewhere than in the heap where another allocator stands in
  if (asked && from < to && to - from <= 2 * ahead) madvise(reinterpret_cast<void*>(from), to - from, MADV_HUGEPAGE);
#endif
}

}  // namespace rakelight
