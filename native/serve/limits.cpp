#include "serve/limits.h"

#include <algorithm>

namespace intercusp::serve {
namespace {

constexpr std::size_t kMostAddresses = 20000;

}  // namespace

AddressKey address_key(const boost::asio::ip::address& address) {
  AddressKey key{};
  if (address.is_v4()) {
    const auto bytes = address.to_v4().to_bytes();
    key[10] = key[11] = 0xff;  // as RFC 4291 2.5.5.2 maps it
    std::copy(bytes.begin(), bytes.end(), key.begin() + 12);
    return key;
  }
  const auto v6 = address.to_v6();
  const auto bytes = v6.to_bytes();
  std::copy(bytes.begin(), v6.is_v4_mapped() ? bytes.end() : bytes.begin() + 8, key.begin());
  return key;
}

double Pace::most(Kind kind) const {
  if (kind == new_folder) return 100;
  return kind == miss ? 200 : per_second_ * 20;
}

double Pace::regained_per_second(Kind kind) const {
  if (kind == new_folder) return 0.05;
  return kind == miss ? 2 : per_second_;
}

Pace::Allowance& Pace::refreshed(const AddressKey& address, SteadyTime now) {
  auto found = allowances_.find(address);
  if (found == allowances_.end() && allowances_.size() < kMostAddresses) {
    found = allowances_.emplace(address, Allowance()).first;
    found->second.since = now;
  }
  Allowance& allowance = found == allowances_.end() ? shared_ : found->second;
  const double seconds = std::chrono::duration<double>(now - allowance.since).count();
  allowance.since = now;
  for (int kind = 0; kind < kinds; ++kind) {
    double& used = allowance.used[kind];
    used = std::max(0.0, used - seconds * regained_per_second(static_cast<Kind>(kind)));
  }
  return allowance;
}

bool Pace::take(const AddressKey& address, Kind kind, SteadyTime now) {
  if (per_second_ <= 0) return true;
  double& used = refreshed(address, now).used[kind];
  if (used + 1 > most(kind)) return false;
  used += 1;
  return true;
}

bool Pace::has(const AddressKey& address, Kind kind, SteadyTime now) {
  if (per_second_ <= 0) return true;
  return refreshed(address, now).used[kind] + 1 <= most(kind);
}

void Pace::forget_quiet(SteadyTime now) {
  for (auto at = allowances_.begin(); at != allowances_.end();) {
    const Allowance& allowance = refreshed(at->first, now);
    const bool quiet = std::all_of(allowance.used, allowance.used + kinds, [](double used) { return used <= 0; });
    at = quiet ? allowances_.erase(at) : std::next(at);
  }
}

Quota::Ticket Quota::take(const AddressKey& address, std::size_t amount) {
  std::size_t& of_one = out_by_address_[address];
  if (out_ + amount > most_ || of_one + amount > most_of_one_) {
    if (of_one == 0) out_by_address_.erase(address);
    return nullptr;
  }
  out_ += amount;
  of_one += amount;
  const auto give_back = [self = shared_from_this(), address, amount](void*) {
    self->out_ -= amount;
    const auto found = self->out_by_address_.find(address);
    if ((found->second -= amount) == 0) self->out_by_address_.erase(found);
  };
  return Ticket(this, give_back);
}

}  // namespace intercusp::serve
