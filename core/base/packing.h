// Values as bytes, for another instance of this same build (a worker beside the page). No versions, no other readers: a
// file that is kept goes through formats/ and casebook/.
#pragma once

#include <Eigen/Core>
#include <Eigen/Geometry>

#include <array>
#include <cstdint>
#include <cstring>
#include <map>
#include <optional>
#include <string>
#include <type_traits>
#include <utility>
#include <vector>

namespace intercusp {

/// Appends values to bytes.
class Packer {
 public:
  static constexpr bool reads = false;
  void raw(const void* from, std::size_t size) {
    const auto* bytes = static_cast<const std::uint8_t*>(from);
    out_.insert(out_.end(), bytes, bytes + size);
  }
  std::vector<std::uint8_t> take() { return std::move(out_); }

 private:
  std::vector<std::uint8_t> out_;
};

/// Takes values from bytes in the order in which a Packer of the same build put them there. What is missing reads as
/// zero, and `whole()` says so.
class Unpacker {
 public:
  static constexpr bool reads = true;
  Unpacker(const std::uint8_t* bytes, std::size_t size) : bytes_(bytes), left_(size) {}
  void raw(void* to, std::size_t size) {
    whole_ = whole_ && size <= left_;
    if (!whole_) {
      std::memset(to, 0, size);
      return;
    }
    std::memcpy(to, bytes_, size);
    bytes_ += size;
    left_ -= size;
  }
  /// How many of `count` values of at least `each` bytes can still follow: a count that is cut short claims no memory.
  std::size_t at_most(std::size_t count, std::size_t each) {
    whole_ = whole_ && count <= left_ / each;
    return whole_ ? count : 0;
  }
  bool whole() const { return whole_; }

 private:
  const std::uint8_t* bytes_;
  std::size_t left_;
  bool whole_ = true;
};

// exchange(archive, value) writes `value` into a Packer or reads it from an Unpacker. A struct of one's own gets an
// overload that names its members to exchange_all.

template <class A, class... Values>
void exchange_all(A& archive, Values&... values);

/// Whether values lie in memory as they may be copied, byte by byte.
template <class T>
struct IsPlain : std::is_trivially_copyable<T> {};
template <class Scalar, int Rows, int Columns>
struct IsPlain<Eigen::Matrix<Scalar, Rows, Columns>> : std::bool_constant<Rows >= 0 && Columns >= 0> {};
template <class Scalar, int Dimension>
struct IsPlain<Eigen::AlignedBox<Scalar, Dimension>> : std::true_type {};
template <class Scalar, int Dimension, int Mode>
struct IsPlain<Eigen::Transform<Scalar, Dimension, Mode>> : std::true_type {};
template <class T, std::size_t N>
struct IsPlain<std::array<T, N>> : IsPlain<T> {};
template <class T, class U>
struct IsPlain<std::pair<T, U>> : std::bool_constant<IsPlain<T>::value && IsPlain<U>::value> {};
template <class T>
struct IsPlain<std::optional<T>> : std::false_type {};

template <class A, class T>
std::enable_if_t<IsPlain<T>::value> exchange(A& archive, T& value) {
  archive.raw(reinterpret_cast<std::uint8_t*>(&value), sizeof(T));
}

template <class A>
std::size_t exchange_size(A& archive, std::size_t size) {
  auto count = static_cast<std::uint64_t>(size);
  exchange(archive, count);
  return static_cast<std::size_t>(count);
}

template <class A>
void exchange(A& archive, std::string& text) {
  const std::size_t size = exchange_size(archive, text.size());
  if constexpr (A::reads) text.resize(archive.at_most(size, 1));
  archive.raw(text.data(), text.size());
}

template <class A>
void exchange(A& archive, std::vector<bool>& flags) {
  std::vector<std::uint8_t> bytes(flags.begin(), flags.end());
  exchange(archive, bytes);
  if constexpr (A::reads) flags.assign(bytes.begin(), bytes.end());
}

template <class A, class T>
void exchange(A& archive, std::vector<T>& list) {
  const std::size_t size = exchange_size(archive, list.size());
  if constexpr (IsPlain<T>::value) {
    if constexpr (A::reads) list.resize(archive.at_most(size, sizeof(T)));
    archive.raw(reinterpret_cast<std::uint8_t*>(list.data()), list.size() * sizeof(T));
  } else {
    if constexpr (A::reads) list.resize(archive.at_most(size, 1));
    for (T& value : list) exchange(archive, value);
  }
}

template <class A, class Key, class T>
void exchange(A& archive, std::map<Key, T>& map) {
  std::vector<std::pair<Key, T>> list(map.begin(), map.end());
  std::size_t size = exchange_size(archive, list.size());
  if constexpr (A::reads) {
    size = archive.at_most(size, 1);
    list.clear();
    list.resize(size);
  }
  for (auto& [key, value] : list) exchange_all(archive, key, value);
  map = std::map<Key, T>(list.begin(), list.end());
}

template <class A, class T>
void exchange(A& archive, std::optional<T>& value) {
  bool there = value.has_value();
  exchange(archive, there);
  if constexpr (A::reads) {
    value.reset();
    if (there) value.emplace();
  }
  if (value) exchange(archive, *value);
}

template <class A, class... Values>
void exchange_all(A& archive, Values&... values) {
  (exchange(archive, values), ...);
}

}  // namespace intercusp
