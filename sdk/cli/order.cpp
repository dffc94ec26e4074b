#include "cli/commands.hpp"
#include "print/print.hpp"
#include "views/text_views.hpp"

#include "aumbry/order.hpp"
#include "aumbry/save_file.hpp"
#include "aumbry/shared_purchase.hpp"

#include <optional>

namespace aumbry::cli {

namespace {

struct OrderOptions {
    ProjectOptions project;
    PurchaseOptions purchase;
    std::vector<std::string> with;
    // Folders to write into; empty: not at all.
    std::string csv;
    std::string pdf;
    std::string xlsx;
    bool json = false;
};

/// The orders of one project, or of several bought for together.
struct Orders {
    OrderHead head;
    std::vector<Order> orders;
    std::optional<SharedPurchase> shared;
};

Orders orders_asked(const OrderOptions& asked) {
    const EstimateOptions options = estimate_options(asked.project, asked.purchase);
    const Opened opened(asked.project);
    if (asked.with.empty()) {
        const Estimate result = opened.session.price(opened.project, options);
        return {head_of(result), orders_of(result), std::nullopt};
    }
    std::vector<Project> projects{opened.project};
    for (const std::string& file : asked.with) projects.push_back(Session::with_file(file));
    SharedPurchase shared =
        buy_together(projects, opened.session.host(), opened.session.catalog(), options);
    return {shared.head, shared.orders, std::move(shared)};
}

/// Writes a file for each order into a folder that is made when it is not there.
void write_orders(const std::vector<Order>& orders, const std::string& folder,
                  const std::string& ending, const std::function<std::string(const Order&)>& text) {
    if (folder.empty()) return;
    const std::filesystem::path into = made_folder(folder);
    const std::vector<std::string> names = file_names_of(orders);
    for (std::size_t i = 0; i < orders.size(); ++i)
        save_file(into / (names[i] + ending), text(orders[i]));
}

void write_files(const OrderOptions& asked, const Orders& found) {
    const OrderHead& head = found.head;
    const std::string made_on = format_date(head.priced_on);
    write_orders(found.orders, asked.csv, ".csv", order_csv);
    write_orders(found.orders, asked.xlsx, ".xlsx",
                 [&](const Order& order) { return print::to_xlsx(order, head.title, made_on); });
    write_orders(found.orders, asked.pdf, ".pdf", [&](const Order& order) {
        return print::to_pdf(print::order_pages(head, order), "Order to " + order.name, made_on);
    });
    if (!asked.pdf.empty())
        save_file(std::filesystem::path(asked.pdf) / "to-collect.pdf",
                  print::to_pdf(print::shopping_pages(head, found.orders),
                                "To collect: " + head.title, made_on));
}

int order(const OrderOptions& asked) {
    const Orders found = orders_asked(asked);
    write_files(asked, found);
    if (asked.json)
        print(
            pretty(found.shared ? to_json(*found.shared) : orders_json(found.head, found.orders)));
    else if (asked.csv.empty() && asked.pdf.empty() && asked.xlsx.empty())
        print(found.shared ? views::shared_orders(*found.shared, colour())
                           : views::orders(found.head, found.orders, colour()));
    return fine;
}

} // namespace

void add_order(CLI::App& app, Commands& commands) {
    auto options = std::make_shared<OrderOptions>();
    CLI::App& command = *app.add_subcommand(
        "order", "What each supplier is sent, with its cuts, and what is collected");
    add_project(command, options->project);
    add_purchase(command, options->purchase);
    command
        .add_option("--with", options->with,
                    "Further projects to buy for at once, as cheaply as can be; the cost is split "
                    "fairly")
        ->excludes("--buy")
        ->excludes("--ready-by");
    command.add_option("--pdf", options->pdf,
                       "Write an order (PDF) for each supplier into this folder, and what has to "
                       "be collected");
    command.add_option("--csv", options->csv, "The same as spreadsheets (CSV)");
    command.add_option("--xlsx", options->xlsx, "The same as spreadsheets (Office Open XML)");
    command.add_flag("--json", options->json, "As JSON");
    commands.on(command, [options] { return order(*options); });
}

} // namespace aumbry::cli
