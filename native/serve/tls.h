#pragma once

#include <memory>
#include <string>

#include <boost/asio/ssl/context.hpp>

#include "base/result.h"

namespace intercusp::serve {

/// TLS 1.2 and newer with this certificate (chain, PEM) and its private key (PEM). Null when both names are empty.
Result<std::unique_ptr<boost::asio::ssl::context>> load_tls(const std::string& certificate, const std::string& key);

}  // namespace intercusp::serve
