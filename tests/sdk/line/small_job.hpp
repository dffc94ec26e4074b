// Jobs of a few things bought by count, with price lists of their own: whole estimates that can be
// worked out by hand.
#pragma once

#include "catalog/sample.hpp"

#include "aumbry/estimate.hpp"
#include "aumbry/line.hpp"
#include "aumbry/plugin_host.hpp"
#include "aumbry/project.hpp"

#include <gtest/gtest.h>

#include <string>

namespace aumbry::test {

inline PluginHost& host() {
    static PluginHost shared({AUMBRY_TEST_PLUGINS});
    return shared;
}

/// Price lists in a folder that goes away with the test.
class PriceLists {
  public:
    /// A dealer without tax; `rows` are "sku,class,description,price,price_unit,lead_days,type".
    void dealer(const std::string& id, const std::string& currency, const std::string& delivery,
                const std::string& rows, const std::string& more = "") const {
        folder_.write("suppliers/" + id + "/supplier.json",
                      R"({"name": ")" + id + R"(", "currency": ")" + currency +
                          R"(", "tax_percent": "0", "delivery": {"flat": ")" + delivery + "\"}" +
                          more + "}");
        folder_.write("suppliers/" + id + "/list.csv",
                      "sku,class,description,price,price_unit,lead_days,type\r\n" + rows);
    }
    [[nodiscard]] Catalog catalog() const {
        Catalog read = load_catalog({folder_.path()}, host().catalog_classes());
        EXPECT_TRUE(read.faults().empty()) << check_report(read, false);
        return read;
    }

  private:
    TemporaryFolder folder_;
};

/// A job; `lines` and `more` are members of the project.
inline Project job(const std::string& title, const std::string& lines, const std::string& more = "",
                   const std::string& currency = "EUR") {
    return read_project(
        R"({"aumbry": 1, "title": ")" + title + R"(", "currency": ")" + currency +
            R"(", "priced_on": "2027-02-01", "start": "2027-03-01", "pieces": {"box": {"title": "Box"}}, "lines": {)" +
            lines + "}" + (more.empty() ? "" : ", " + more) + "}",
        title + ".aumbry.json");
}

inline std::string item(const std::string& id, const std::string& type, int count) {
    return '"' + id + R"(": {"kind": "item", "piece": "box", "type": ")" + type +
           R"(", "count": )" + std::to_string(count) + "}";
}

} // namespace aumbry::test
