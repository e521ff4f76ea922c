#pragma once

#include <memory>
#include <string>

#include <boost/asio/ssl/context.hpp>

#include "base/result.h"
#include "share/server_line.h"

namespace intercusp::share {

/// What a connection to the server trusts: the system's certificates, and those of a PEM file (empty: none). Null where
/// the address has no TLS.
Result<std::unique_ptr<boost::asio::ssl::context>> client_tls(const ServerAddress& address, const std::string& trusted);

}  // namespace intercusp::share
