// A list whose copies share one memory, because it is replaced as a whole and never changed in place. Hundreds of joints that are
// finished alike then hold their samples once.
#pragma once
#include <cassert>
#include <cstddef>
#include <memory>
#include <utility>
#include <vector>

namespace rakelight {

/// Reads like a const std::vector; empty until a vector is given to it. Copies may be read by several threads.
template <class T>
class SharedList {
 public:
  SharedList() = default;
  SharedList(std::vector<T> items) : items_(std::make_shared<const std::vector<T>>(std::move(items))) {}

  std::size_t size() const { return items_ ? items_->size() : 0; }
  bool empty() const { return size() == 0; }
  /// Precondition: i < size().
  const T& operator[](std::size_t i) const {
    assert(i < size());
    return (*items_)[i];
  }
  const T* data() const { return items_ ? items_->data() : nullptr; }
  const T* begin() const { return data(); }
  const T* end() const { return data() + size(); }
  const T& front() const { return (*this)[0]; }
  const T& back() const { return (*this)[size() - 1]; }

  /// The vector itself, as long as this list or a copy of it lives.
  const std::vector<T>& items() const {
    static const std::vector<T> none;
    return items_ ? *items_ : none;
  }
  operator const std::vector<T>&() const { return items(); }

  /// Whether both are one list in memory, or both empty.
  bool same_as(const SharedList& other) const { return items_ == other.items_ || (empty() && other.empty()); }
  friend bool operator==(const SharedList& a, const SharedList& b) { return a.same_as(b) || a.items() == b.items(); }

 private:
  std::shared_ptr<const std::vector<T>> items_;
};

}  // namespace rakelight
