#pragma once
/// Reads whose answer may be a piece of HTML.

#include <optional>
#include <string>

#include "serve/routes.hpp"
#include "steelyard/app/show.hpp"

namespace steelyard::serve {

/// How pieces are laid out, if the caller asked for HTML (?as=html, ?units=).   errors  usage
[[nodiscard]] Result<std::optional<report::Look>> html_wanted(const Exchange& x, const Athlete* athlete = nullptr);
[[nodiscard]] Response html_response(std::string html);

}  // namespace steelyard::serve
