// Counts how often work asks whether it is still wanted, and says no from a given time on.
#pragma once

#include "aumbry/stop.hpp"

#include <gtest/gtest.h>

#include <memory>

namespace aumbry::test {

class StopCounter {
  public:
    /// Says no the `last`th time it is asked; 0: never.
    explicit StopCounter(int last = 0) : last_(last) {}

    [[nodiscard]] std::function<bool()> function() const {
        return [asked = asked_, last = last_] { return ++*asked == last; };
    }
    [[nodiscard]] Stop stop() const { return Stop(function()); }
    [[nodiscard]] int asked() const { return *asked_; }

  private:
    std::shared_ptr<int> asked_ = std::make_shared<int>(0);
    int last_;
};

/// Work that is told to stop the second, a middle and the last time that it asks ends there: it
/// asks no more.
template <class Thrown = Cancelled, class Work>
void expect_to_end_when_told(int times_asked, const Work& work) {
    ASSERT_GE(times_asked, 2) << "too little work to be told anything";
    for (const int last : {2, times_asked / 2 + 1, times_asked}) {
        const StopCounter counter(last);
        EXPECT_THROW(work(counter), Thrown) << "told to stop at question " << last;
        EXPECT_EQ(counter.asked(), last);
    }
}

} // namespace aumbry::test
