// What one address, and everybody together, may take of the server at a time.
#pragma once

#include <chrono>
#include <cstdint>
#include <map>
#include <memory>
#include <string>

#include <boost/asio/ip/address.hpp>

#include "serve/wire/ids.h"

namespace intercusp::serve {

/// An IPv4 address, or the network (/64) of an IPv6 address: what one household or office has.
using AddressKey = ByteArray<16>;
AddressKey address_key(const boost::asio::ip::address& address);

using SteadyTime = std::chrono::steady_clock::time_point;

/// Requests a second by address: an allowance that fills up again. Bounded: at most 20,000 addresses are remembered;
/// further ones share one allowance until others have been quiet long enough to be forgotten.
class Pace {
 public:
  enum Kind { request, new_folder, miss, kinds };

  /// `per_second` requests in the long run, twenty times as many at once; 0 limits nothing.
  explicit Pace(double per_second) : per_second_(per_second) {}

  /// Whether one more is allowed now; if so it is counted.
  bool take(const AddressKey& address, Kind kind, SteadyTime now);
  /// Whether anything of this kind is left, without counting.
  bool has(const AddressKey& address, Kind kind, SteadyTime now);
  /// Forgets addresses whose allowance is whole again.
  void forget_quiet(SteadyTime now);

 private:
  struct Allowance {
    double used[kinds] = {};
    SteadyTime since;
  };
  Allowance& refreshed(const AddressKey& address, SteadyTime now);
  double most(Kind kind) const;
  double regained_per_second(Kind kind) const;

  double per_second_;
  std::map<AddressKey, Allowance> allowances_;
  Allowance shared_;
};

/// A number of things that may be out at a time, in all and by address. What is out comes back when its ticket goes.
class Quota : public std::enable_shared_from_this<Quota> {
 public:
  using Ticket = std::shared_ptr<void>;

  Quota(std::size_t most, std::size_t most_of_one) : most_(most), most_of_one_(most_of_one) {}
  /// Null when that would be too many.
  Ticket take(const AddressKey& address, std::size_t amount);
  std::size_t out() const { return out_; }

 private:
  std::size_t most_, most_of_one_, out_ = 0;
  std::map<AddressKey, std::size_t> out_by_address_;
};

}  // namespace intercusp::serve
