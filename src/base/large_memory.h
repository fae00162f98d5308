// Memory for large tables, which are written right after they are taken: it is not set to zero first, and blocks of several
// megabytes ask the system for large pages. Of a table of 20 MB that spares 20 MB of writing and 5,000 page faults, each of which
// costs as much as some thousand operations.
#pragma once
#include <cstddef>
#include <cstdlib>
#include <memory>
#include <new>
#include <utility>
#include <vector>

namespace rakelight {

/// Memory of that many bytes, its contents anything; blocks of `large_block` bytes and more at a multiple of 2 MiB. Throws
/// std::bad_alloc. Given back by std::free.
void* take_memory(std::size_t bytes);
inline constexpr std::size_t large_block = std::size_t{4} << 20;

/// For a program's first line: small blocks come from a heap that grows 32 MB at a time, in large pages at first, and that the
/// system gets back when 64 MB of its end are free, not after every piece of work. Blocks of `large_block` and more come and go as before. Does
/// nothing where the C library is another one.
void settle_memory();

/// Allocator of vectors that leave new elements of plain types as they are found. Elements need no more alignment than malloc gives.
template <class T>
struct LargeMemory {
  using value_type = T;
  LargeMemory() = default;
  template <class U>
  LargeMemory(const LargeMemory<U>&) noexcept {}
  T* allocate(std::size_t count) { return static_cast<T*>(take_memory(count * sizeof(T))); }
  void deallocate(T* p, std::size_t) noexcept { std::free(p); }
  template <class U>
  void construct(U* p) { ::new (static_cast<void*>(p)) U; }
  template <class U, class... Args>
  void construct(U* p, Args&&... args) { ::new (static_cast<void*>(p)) U(std::forward<Args>(args)...); }
  template <class U>
  bool operator==(const LargeMemory<U>&) const noexcept { return true; }
};

/// A vector whose resize() leaves what it adds to be written.
template <class T>
using Table = std::vector<T, LargeMemory<T>>;

/// An array of that many elements to be written, shared.
template <class T>
std::shared_ptr<T[]> shared_table(std::size_t count) {
  return std::shared_ptr<T[]>(static_cast<T*>(take_memory(count * sizeof(T))), [](T* p) { std::free(p); });
}

}  // namespace rakelight
