#pragma once

#include <cstddef>
#include <functional>

namespace intercusp {

/// Calls work(begin, end) on both halves of 0..count, the second one on another thread where the build has threads and
/// the machine more than one processor. What it computes must not depend on where the halves meet or on who is first.
/// Below `worth` everything is done in one call.
void in_halves(std::size_t count, std::size_t worth, const std::function<void(std::size_t, std::size_t)>& work);

/// Does both, the second on another thread where there is one. Neither may depend on the other.
void both(const std::function<void()>& first, const std::function<void()>& second);

/// Whether work runs on one thread only; for measurements. Holds for the whole program.
void use_one_thread(bool only_one);

}  // namespace intercusp
