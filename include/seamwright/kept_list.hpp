// A list for work that is done again and again: an element taken out of it keeps its memory for the next one.
#pragma once

#include <algorithm>
#include <cstddef>
#include <utility>
#include <vector>

namespace seamwright {

template <class T>
class KeptList {
 public:
  using value_type = T;

  KeptList() = default;
  // A copy is of the elements alone: what was taken out stays where it is.
  KeptList(const KeptList& other) : items_(other.begin(), other.end()), size_(other.size_) {}
  KeptList(KeptList&& other) noexcept : items_(std::move(other.items_)), size_(std::exchange(other.size_, 0)) {}
  KeptList& operator=(const KeptList& other) {
    if (this == &other) return *this;
    resize(other.size_);
    std::copy(other.begin(), other.end(), begin());
    return *this;
  }
  KeptList& operator=(KeptList&& other) noexcept {
    if (this == &other) return *this;
    items_ = std::move(other.items_);
    size_ = std::exchange(other.size_, 0);
    return *this;
  }
  ~KeptList() = default;

  [[nodiscard]] std::size_t size() const { return size_; }
  [[nodiscard]] bool empty() const { return size_ == 0; }
  [[nodiscard]] T* begin() { return items_.data(); }
  [[nodiscard]] T* end() { return items_.data() + size_; }
  [[nodiscard]] const T* begin() const { return items_.data(); }
  [[nodiscard]] const T* end() const { return items_.data() + size_; }
  [[nodiscard]] T& operator[](std::size_t i) { return items_[i]; }
  [[nodiscard]] const T& operator[](std::size_t i) const { return items_[i]; }
  [[nodiscard]] T& front() { return items_[0]; }
  [[nodiscard]] const T& front() const { return items_[0]; }
  [[nodiscard]] T& back() { return items_[size_ - 1]; }
  [[nodiscard]] const T& back() const { return items_[size_ - 1]; }

  void clear() { size_ = 0; }
  // The elements after it move down.
  void remove(std::size_t i) {
    std::rotate(begin() + i, begin() + i + 1, end());
    --size_;
  }
  // New elements are as earlier ones left them: to be assigned, or filled field by field.
  void resize(std::size_t size) {
    if (size > items_.size()) items_.resize(size);
    size_ = size;
  }
  [[nodiscard]] T& add() {
    resize(size_ + 1);
    return back();
  }

 private:
  std::vector<T> items_;
  std::size_t size_ = 0;
};

}  // namespace seamwright
