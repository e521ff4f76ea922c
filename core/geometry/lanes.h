#pragma once

#include <cstdint>

namespace intercusp {

/// Four floats side by side (GCC's and clang's vector extensions: SSE, NEON or WebAssembly's).
/// Every operation is that of IEEE 754 lane by lane, so the numbers are the same on all of them.
using Float4 = float __attribute__((vector_size(16)));
using Int4 = std::int32_t __attribute__((vector_size(16)));

inline Float4 all_lanes(float v) {
  return Float4{v, v, v, v};
}
/// `a` in lanes where it is greater; `b` otherwise, also where `a` is no number.
inline Float4 greater(Float4 a, Float4 b) {
  return a > b ? a : b;
}
inline Float4 lesser(Float4 a, Float4 b) {
  return a < b ? a : b;
}
inline Float4 magnitude(Float4 a) {
  return greater(a, -a);
}
inline Float4 root(Float4 v) {
  return Float4{__builtin_sqrtf(v[0]), __builtin_sqrtf(v[1]), __builtin_sqrtf(v[2]), __builtin_sqrtf(v[3])};
}
inline float greatest_lane(Float4 v) {
  const float a = v[0] > v[1] ? v[0] : v[1], b = v[2] > v[3] ? v[2] : v[3];
  return a > b ? a : b;
}
inline float least_lane(Float4 v) {
  return -greatest_lane(-v);
}
/// Bit k is set where lane k is at or below the limit.
inline unsigned lanes_within(Float4 v, float limit) {
  const Int4 within = v <= all_lanes(limit);
#ifdef __SSE2__
  return static_cast<unsigned>(__builtin_ia32_movmskps(reinterpret_cast<Float4>(within)));
#else
  return (within[0] & 1u) | (within[1] & 2u) | (within[2] & 4u) | (within[3] & 8u);
#endif
}
/// The lowest bit that is set, which it clears.
inline unsigned take_lane(unsigned& lanes) {
  const auto lane = static_cast<unsigned>(__builtin_ctz(lanes));
  lanes &= lanes - 1;
  return lane;
}

/// Four vectors side by side.
struct Vec4 {
  Float4 x, y, z;
};

inline Vec4 operator+(const Vec4& a, const Vec4& b) {
  return {a.x + b.x, a.y + b.y, a.z + b.z};
}
inline Vec4 operator-(const Vec4& a, const Vec4& b) {
  return {a.x - b.x, a.y - b.y, a.z - b.z};
}
inline Vec4 operator*(Float4 s, const Vec4& a) {
  return {s * a.x, s * a.y, s * a.z};
}
inline Float4 dot(const Vec4& a, const Vec4& b) {
  return a.x * b.x + a.y * b.y + a.z * b.z;
}
inline Vec4 cross(const Vec4& a, const Vec4& b) {
  return {a.y * b.z - a.z * b.y, a.z * b.x - a.x * b.z, a.x * b.y - a.y * b.x};
}
/// The same vector in all lanes.
template <class Vector>
Vec4 in_all_lanes(const Vector& v) {
  return {all_lanes(static_cast<float>(v[0])), all_lanes(static_cast<float>(v[1])),
          all_lanes(static_cast<float>(v[2]))};
}

}  // namespace intercusp
