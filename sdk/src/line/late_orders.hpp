// Goods that a step of the making tells the right kind of, such as springs by the weighed panel.
#pragma once

#include "line/run.hpp"

#include <functional>

namespace aumbry {

/// Has such goods ordered once that step is done, in an order of their own: where the workshop says
/// so (`late_orders`), or where the job is ready no later for it and it costs no more than buying
/// the goods once more would. A finding tells what waiting costs against ordering them with the
/// rest, and which was chosen. `go_on` buys, follows and dates a run by its problem.
void order_once_known(LineRun& run, const std::function<void(LineRun&)>& go_on);

} // namespace aumbry
