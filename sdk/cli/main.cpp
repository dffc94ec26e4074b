// The command `aumbry`: reads its arguments, calls the library, prints what the views say.
#include "print/print.hpp"
#include "views/text_views.hpp"

#include "aumbry/catalog.hpp"
#include "aumbry/catalog_import.hpp"
#include "aumbry/job_record.hpp"
#include "aumbry/line.hpp"
#include "aumbry/order.hpp"
#include "aumbry/plugin_check.hpp"
#include "aumbry/plugin_host.hpp"
#include "aumbry/project.hpp"
#include "aumbry/purchase_curves.hpp"
#include "aumbry/quote.hpp"
#include "aumbry/resolve.hpp"
#include "aumbry/save_file.hpp"
#include "aumbry/session.hpp"
#include "aumbry/shared_purchase.hpp"
#include "aumbry/spare_sheets.hpp"
#include "aumbry/study.hpp"

#include <CLI/CLI.hpp>

#include <algorithm>
#include <cstdio>
#include <filesystem>
#include <functional>
#include <iostream>
#include <unistd.h>

namespace {

using namespace aumbry;

constexpr int fine = 0;
constexpr int input_fault = 1;
constexpr int wrong_usage = 2;
constexpr int no_estimate = 3;

/// What all commands that read a project have in common.
struct Common {
    std::string project;
    std::vector<std::string> catalogs;
    std::vector<std::string> plugins;
    std::string alternative;
    std::string effort = "normal";
    bool json = false;
    bool csv = false;
    std::string objective = "cheapest";
    std::string finish_by;
    int most_suppliers = 0;
    bool spare_sheets = false;
    bool strict = false;
};

bool colour() {
    return isatty(STDOUT_FILENO) != 0 && std::getenv("NO_COLOR") == nullptr;
}

/// Named folders, the others to be found.
SessionFolders named_folders(const Common& common) {
    return {{common.plugins.begin(), common.plugins.end()},
            {common.catalogs.begin(), common.catalogs.end()}};
}

/// The folders of modules: those named, or this program's.
std::vector<std::filesystem::path> plugin_folders(const Common& common) {
    return common.plugins.empty() ? program_folders().plugins : named_folders(common).plugins;
}

/// A project and what it is priced with.
struct Opened {
    Project project; ///< read first: without it there is no use in looking for price lists
    Session session;

    explicit Opened(const Common& common)
        : project(Session::with_file(common.project, common.alternative)),
          session(find_folders(common.project, named_folders(common))) {}

    [[nodiscard]] Estimate price(const EstimateOptions& options) const {
        return session.price(project, options);
    }
};

/// What was left out of the price lists. Without modules every column would be unknown: the one
/// sentence that follows says what matters then.
void print_faults_of(const Session& session) {
    if (session.host().modules().empty()) return;
    for (const auto& fault : session.catalog().faults())
        std::cerr << fault.fault.sentence() << '\n';
}

/// What an option says, read; faults name the option.
template <class Read>
auto option(const std::string& name, const Read& read) {
    try {
        return read();
    } catch (const FaultError& error) {
        std::vector<Fault> faults = error.faults();
        for (Fault& fault : faults) fault.place = {name, "", 0, 0};
        throw FaultError(std::move(faults));
    }
}

EstimateOptions options_of(const Common& common) {
    EstimateOptions options;
    options.effort = common.effort;
    if (common.objective == "earliest") options.objective = Objective::earliest;
    if (common.objective == "fewest") options.objective = Objective::fewest_suppliers;
    if (!common.finish_by.empty())
        options.finish_by = option("--finish-by", [&] { return parse_date(common.finish_by); });
    if (common.most_suppliers > 0) options.most_suppliers = common.most_suppliers;
    return options;
}

int finish(const Estimate& estimate, bool strict) {
    const bool problem = !estimate.findings.empty() &&
                         estimate.findings.front().severity == contract::Severity::problem;
    return strict && problem ? input_fault : fine;
}

int price(const Common& common) {
    const Opened opened(common);
    print_faults_of(opened.session);
    const auto run = common.spare_sheets ? estimate_with_spare_sheets : estimate;
    const Estimate result = run(opened.project, opened.session.host(), opened.session.catalog(),
                                options_of(common));
    std::cout << (common.json ? pretty(to_json(result)) : views::summary(result, colour()));
    return finish(result, common.strict);
}

int plan(const Common& common, const std::string& ics) {
    const Opened opened(common);
    print_faults_of(opened.session);
    const Estimate result = opened.price(options_of(common));
    if (!ics.empty()) {
        save_file(ics, views::plan_calendar(result));
        return fine;
    }
    if (common.json) {
        const Json whole = to_json(result);
        Json measured = Json::array();
        for (const Json& purchase : whole["purchases"])
            if (purchase["decides_sizes"] && !purchase["owned"]) measured.push_back(purchase);
        std::cout << pretty(Json{{"title", result.title},
                                 {"orders", whole["orders"]},
                                 {"measured_first", measured},
                                 {"schedule", whole["schedule"]}});
    } else
        std::cout << views::plan(result, colour());
    return fine;
}

int weigh(const Common& common) {
    const Opened opened(common);
    print_faults_of(opened.session);
    const PurchaseCurves result = purchase_curves(opened.project, opened.session.host(),
                                                  opened.session.catalog(), options_of(common));
    std::cout << (common.json ? pretty(to_json(result)) : views::curves(result, colour()));
    return fine;
}

int explain(const Common& common, const std::string& reference, std::size_t levels) {
    const Opened opened(common);
    std::cout << views::explanation(opened.price(options_of(common)), reference, colour(), levels);
    return fine;
}

/// A folder to write into, made when it is not there.
std::filesystem::path made_folder(const std::string& name) {
    std::error_code error;
    std::filesystem::create_directories(name, error);
    if (!std::filesystem::is_directory(name))
        fail("unwritable-folder", {name, "", 0, 0}, "the folder cannot be made",
             "name one in a folder that you may write to");
    return name;
}

int cut(const Common& common, const std::string& svg_folder, const std::string& pdf) {
    const Opened opened(common);
    print_faults_of(opened.session);
    const Estimate result = opened.price(options_of(common));
    const print::CutBook book = print::cut_book(result);
    if (!svg_folder.empty()) {
        const std::filesystem::path folder = made_folder(svg_folder);
        for (const print::Figure& figure : print::cut_figures(book, true))
            save_file(folder / (figure.name + ".svg"), print::to_svg(figure.pages.front()));
    }
    if (!pdf.empty())
        save_file(pdf, print::to_pdf(print::cut_pages(book), "Cutting: " + book.job, book.made_on));
    if (common.json) {
        const Json document = to_json(result);
        std::cout << pretty(Json{{"title", result.title},
                                 {"cutting_plans", document["cutting_plans"]},
                                 {"board_plans", document["board_plans"]},
                                 {"bounds", document["bounds"]}});
    } else if (svg_folder.empty() && pdf.empty())
        std::cout << views::cut_plans(book, colour());
    return fine;
}

int labels(const Common& common, const std::string& pdf) {
    const Opened opened(common);
    print_faults_of(opened.session);
    const print::CutBook book = print::cut_book(opened.price(options_of(common)));
    save_file(pdf, print::to_pdf(print::label_pages(book), "Labels: " + book.job, book.made_on));
    return fine;
}

int hand_over(const Common& common, const std::string& pdf) {
    const Opened opened(common);
    print_faults_of(opened.session);
    const Estimate result = opened.price(options_of(common));
    const print::CutBook book = print::cut_book(result);
    save_file(pdf, print::to_pdf(print::hand_over_pages(result, book),
                                 "Workshop papers: " + book.job, book.made_on));
    return fine;
}

/// Where `order` writes, by kind; empty: nowhere.
struct OrderFolders {
    std::string csv;
    std::string pdf;
    std::string xlsx;
    [[nodiscard]] bool none() const { return csv.empty() && pdf.empty() && xlsx.empty(); }
};

/// Writes a file for each order into a folder that is made when it is not there.
void write_orders(const std::vector<Order>& orders, const std::string& folder,
                  const std::string& ending, const std::function<std::string(const Order&)>& text) {
    if (folder.empty()) return;
    const std::filesystem::path into = made_folder(folder);
    const std::vector<std::string> names = file_names_of(orders);
    for (std::size_t i = 0; i < orders.size(); ++i)
        save_file(into / (names[i] + ending), text(orders[i]));
}

int order(const Common& common, const OrderFolders& folders, const std::vector<std::string>& with) {
    const Opened opened(common);
    print_faults_of(opened.session);
    std::vector<Order> orders;
    OrderHead head;
    std::optional<SharedPurchase> shared;
    if (with.empty()) {
        const Estimate result = opened.price(options_of(common));
        orders = orders_of(result);
        head = head_of(result);
    } else {
        std::vector<Project> projects{opened.project};
        for (const std::string& file : with) projects.push_back(Session::with_file(file));
        shared = buy_together(projects, opened.session.host(), opened.session.catalog(),
                              options_of(common));
        orders = shared->orders;
        head = shared->head;
    }
    const std::string made_on = format_date(head.priced_on);
    write_orders(orders, folders.csv, ".csv", order_csv);
    write_orders(orders, folders.xlsx, ".xlsx",
                 [&](const Order& order) { return print::to_xlsx(order, head.title, made_on); });
    write_orders(orders, folders.pdf, ".pdf", [&](const Order& order) {
        return print::to_pdf(print::order_pages(head, order), "Order to " + order.name, made_on);
    });
    if (!folders.pdf.empty())
        save_file(std::filesystem::path(folders.pdf) / "to-collect.pdf",
                  print::to_pdf(print::shopping_pages(head, orders), "To collect: " + head.title,
                                made_on));
    if (common.json)
        std::cout << pretty(shared ? to_json(*shared) : orders_json(head, orders));
    else if (folders.none())
        std::cout << (shared ? views::shared_orders(*shared, colour())
                             : views::orders(head, orders, colour()));
    return fine;
}

int quote(const Common& common, const std::string& against, const std::string& pdf) {
    const Opened opened(common);
    print_faults_of(opened.session);
    const Estimate priced = opened.price(options_of(common));
    const Quote result = quote_of(priced);
    if (!pdf.empty()) {
        save_file(pdf, print::to_pdf(print::quote_pages(result, priced.length_unit),
                                     "Quote: " + result.title, format_date(result.on)));
        if (!common.json && against.empty()) return fine;
    }
    if (against.empty()) {
        std::cout << (common.json ? pretty(to_json(result)) : views::quote(result, colour()));
        return fine;
    }
    const QuoteChange change = change_of(read_quote(read_file(against), against), result);
    std::cout << (common.json ? pretty(to_json(change)) : views::change(change, colour()));
    return fine;
}

/// What `record` was told.
struct News {
    std::string supplier;
    std::string state;
    std::string on;
    std::string arrives;
    std::string amount;
    std::string step;
    std::string hours;
    std::string who = "maker";
    bool done = false;
};

int record(const Common& common, const News& news) {
    const Opened opened(common);
    print_faults_of(opened.session);
    const Estimate now = opened.price(options_of(common));
    // The file's own document: neither stock files nor an alternative's changes are written into
    // it.
    const Json document = read_project(read_file(common.project), common.project).document;
    const auto date = [](const char* name, const std::string& text) {
        return option(
            name, [&] { return text.empty() ? std::nullopt : std::optional(parse_date(text)); });
    };
    Json result;
    std::string said;
    if (!news.supplier.empty()) {
        OrderNews order;
        order.supplier = news.supplier;
        order.state = news.state == "cut"        ? Progress::cut
                      : news.state == "received" ? Progress::received
                                                 : Progress::ordered;
        order.on = date("--on", news.on);
        order.arrives = date("--arrives", news.arrives);
        if (!news.amount.empty())
            order.amount =
                option("--amount", [&] { return Money::parse(news.amount, now.currency); });
        result = record_order(document, now, order);
        said = news.supplier + ": " + std::string(word_of(order.state));
    } else {
        result = record_work(document, now,
                             {news.step, news.hours, news.who, date("--on", news.on), news.done});
        said = news.step + ": " + news.hours + (news.done ? ", done" : "");
    }
    // Nothing is written that could not be read again.
    const std::string text = pretty(result);
    (void)resolve(Session::with_text(text, common.project, common.alternative),
                  opened.session.host(), opened.session.catalog().tables(), common.effort);
    save_file(common.project, text);
    std::cout << "Recorded in " << common.project << ": " << said << ".\n";
    return fine;
}

int close_job(const Common& common, const std::string& stock) {
    const Opened opened(common);
    print_faults_of(opened.session);
    const EstimateOptions options = options_of(common);
    const auto run = [&](const Project& project) { return opened.session.price(project, options); };
    const Account account = account_of(run(as_planned(opened.project)), run(opened.project),
                                       run(as_built(opened.project)));
    if (!stock.empty()) {
        if (std::filesystem::exists(stock))
            fail("file-exists", {stock, "", 0, 0}, "the stock file is there already",
                 "name another; what it holds may be another job's");
        save_file(stock,
                  pretty(stock_of(account.left, account.title, opened.session.host().modules())));
    }
    std::cout << (common.json ? pretty(to_json(account)) : views::account(account, colour()));
    return fine;
}

int compare_alternatives(const Common& common, const std::vector<std::string>& ids) {
    const Opened opened(common);
    print_faults_of(opened.session);
    EstimateOptions options;
    options.effort = common.effort;
    const Comparison result =
        compare(opened.project, opened.session.host(), opened.session.catalog(), options, ids);
    std::cout << (common.json  ? pretty(to_json(result))
                  : common.csv ? to_csv(result)
                               : views::comparison(result, colour()));
    return fine;
}

int list_plugins(const Common& common) {
    const PluginHost host(plugin_folders(common));
    std::cout << views::module_list(host, colour());
    return fine;
}

int list_fields(const Common& common, const std::string& name) {
    const PluginHost host(plugin_folders(common));
    std::cout << views::fields_of(host.modules(), name, colour());
    return fine;
}

int check_module(const Common& common, const std::string& file) {
    CheckOptions options;
    if (!common.catalogs.empty())
        options.tables =
            load_catalog(find_folders(common.project, named_folders(common)).catalogs, {}).tables();
    const std::vector<CheckResult> results = check_plugin(file, options);
    std::cout << (common.json ? pretty(check_json(file, results)) : check_text(file, results));
    return all_passed(results) ? fine : input_fault;
}

int import_list(const Common& common, const std::string& spreadsheet,
                const std::string& mapping_file, const std::string& into, bool dry_run) {
    const PluginHost host(plugin_folders(common));
    const std::vector<contract::CatalogClass> classes = host.catalog_classes();
    const Mapping mapping = read_mapping(read_file(mapping_file), mapping_file, classes);
    const Import planned = plan_import(spreadsheet, mapping, into, classes);
    if (!dry_run) write_import(planned);
    std::cout << import_report(planned, !dry_run, common.json);
    return planned.faults.empty() ? fine : input_fault;
}

int check_catalog(const Common& common, const std::string& path) {
    const PluginHost host(plugin_folders(common));
    if (!std::filesystem::is_directory(path))
        fail("missing-folder", {path, "", 0, 0}, "there is no such catalog folder",
             "name one that holds suppliers/");
    const Catalog catalog = load_catalog({path}, host.catalog_classes());
    std::cout << check_report(catalog, common.json);
    return catalog.faults().empty() ? fine : input_fault;
}

void add_folders(CLI::App& command, Common& common) {
    command.add_option(
        "--catalogs", common.catalogs,
        "Catalog folders; default: the nearest above the project that holds suppliers/");
    command.add_option("--plugins", common.plugins,
                       "Plugin folders; default: those of this program");
}

void add_effort(CLI::App& command, Common& common) {
    command
        .add_option("--effort", common.effort,
                    "How long plans are sought: draft, normal or thorough")
        ->check(CLI::IsMember({"draft", "normal", "thorough"}));
}

void add_project(CLI::App& command, Common& common) {
    command.add_option("PROJECT", common.project, "The project, *.aumbry.json")->required();
    add_folders(command, common);
    command.add_option("--alternative", common.alternative,
                       "Price this alternative instead of the base");
    add_effort(command, common);
}

void add_limits(CLI::App& command, Common& common) {
    command.add_option("--finish-by", common.finish_by,
                       "Buy so that the job is ready on this day, as 2027-03-26");
    command
        .add_option("--most-suppliers", common.most_suppliers, "Buy from at most so many suppliers")
        ->check(CLI::PositiveNumber);
}

void add_purchase(CLI::App& command, Common& common) {
    command
        .add_option("--buy", common.objective,
                    "What to buy for: cheapest, earliest finish, or fewest suppliers")
        ->check(CLI::IsMember({"cheapest", "earliest", "fewest"}));
    add_limits(command, common);
}

/// One sentence when the first word is no command; empty when it is one.
std::string unknown_command(const CLI::App& app, int argc, char** argv) {
    const std::string first = argc > 1 ? argv[1] : "";
    if (first.empty() || first.front() == '-') return {};
    std::vector<std::string> names;
    for (const CLI::App* command : app.get_subcommands({})) names.push_back(command->get_name());
    if (std::find(names.begin(), names.end(), first) != names.end()) return {};
    const std::string near = nearest_name(first, names);
    return "there is no command '" + first + "'; " +
           (near.empty() ? "aumbry --help lists them" : "did you mean '" + near + "'?");
}

} // namespace

int main(int argc, char** argv) {
    CLI::App app{"Estimates fitted furniture: what to buy and from whom, how it is cut, what it "
                 "costs, when it is done."};
    app.name("aumbry");
    app.require_subcommand(1);
    Common common;
    std::string reference;
    std::string path;
    std::string ics;
    OrderFolders order_folders;
    std::vector<std::string> with;
    std::string pdf;
    std::string svg;
    std::string against;
    std::string stock;
    News news;
    std::string mapping_file;
    std::string into;
    bool dry_run = false;
    std::vector<std::string> ids;
    int status = fine;

    CLI::App* price_command =
        app.add_subcommand("price", "The estimate: what to buy, what it costs, when it is done");
    add_project(*price_command, common);
    add_purchase(*price_command, common);
    price_command->add_flag("--json", common.json, "The estimate document instead of text");
    price_command->add_flag("--spare-sheet", common.spare_sheets,
                            "Say what one spare sheet of each material would cost");
    price_command->add_flag("--strict", common.strict, "Exit status 1 when there is a problem");
    price_command->callback([&] { status = price(common); });

    CLI::App* compare_command = app.add_subcommand("compare", "Base and alternatives side by side");
    compare_command->add_option("PROJECT", common.project, "The project, *.aumbry.json")
        ->required();
    compare_command->add_option("ALTERNATIVE", ids, "Only these alternatives");
    add_folders(*compare_command, common);
    add_effort(*compare_command, common);
    CLI::Option* as_json = compare_command->add_flag("--json", common.json, "As JSON");
    compare_command->add_flag("--csv", common.csv, "As CSV, one row a figure")->excludes(as_json);
    compare_command->callback([&] { status = compare_alternatives(common, ids); });

    CLI::App* explain_command = app.add_subcommand("explain", "How one figure came about");
    add_project(*explain_command, common);
    explain_command
        ->add_option("REF", reference,
                     "total, totals.goods, line.ID, piece.ID, buy.SUPPLIER/SKU, LINE.VALUE ...")
        ->required();
    std::size_t levels = 2;
    explain_command
        ->add_option("--levels", levels, "How many steps back it is followed; 2 when not stated")
        ->check(CLI::Range(1, 20));
    explain_command->callback([&] { status = explain(common, reference, levels); });

    CLI::App* plan_command = app.add_subcommand("plan", "Dates, order-by dates and critical path");
    add_project(*plan_command, common);
    add_purchase(*plan_command, common);
    CLI::Option* plan_json = plan_command->add_flag("--json", common.json, "As JSON");
    plan_command->add_option("--ics", ics, "Write a calendar file (RFC 5545)")->excludes(plan_json);
    plan_command->callback([&] { status = plan(common, ics); });

    CLI::App* cut_command =
        app.add_subcommand("cut", "Every sheet and board: parts, cuts in order, what is left");
    add_project(*cut_command, common);
    add_purchase(*cut_command, common);
    cut_command->add_option("--svg", svg, "Write a drawing (SVG) of each into this folder");
    cut_command->add_option("--pdf", pdf, "Write all of them as PDF");
    cut_command->add_flag("--json", common.json, "As JSON");
    cut_command->callback([&] { status = cut(common, svg, pdf); });

    CLI::App* labels_command = app.add_subcommand("labels", "A label for every part");
    add_project(*labels_command, common);
    add_purchase(*labels_command, common);
    labels_command->add_option("--pdf", pdf, "Where to write them")->required();
    labels_command->callback([&] { status = labels(common, pdf); });

    CLI::App* hand_over_command = app.add_subcommand(
        "papers", "What the workshop works from: plans, steps, coats, labels, cautions");
    add_project(*hand_over_command, common);
    add_purchase(*hand_over_command, common);
    hand_over_command->add_option("--pdf", pdf, "Where to write them")->required();
    hand_over_command->callback([&] { status = hand_over(common, pdf); });

    CLI::App* order_command = app.add_subcommand(
        "order", "What each supplier is sent, with its cuts, and what is collected");
    add_project(*order_command, common);
    add_purchase(*order_command, common);
    order_command
        ->add_option("--with", with,
                     "Further projects to buy for at once, as cheaply as can be; the cost is split "
                     "fairly")
        ->excludes("--buy")
        ->excludes("--finish-by");
    order_command->add_option("--pdf", order_folders.pdf,
                              "Write an order (PDF) for each supplier into this folder, and what "
                              "has to be collected");
    order_command->add_option("--csv", order_folders.csv, "The same as spreadsheets (CSV)");
    order_command->add_option("--xlsx", order_folders.xlsx,
                              "The same as spreadsheets (Office Open XML)");
    order_command->add_flag("--json", common.json, "As JSON");
    order_command->callback([&] { status = order(common, order_folders, with); });

    CLI::App* quote_command = app.add_subcommand("quote", "What the client is shown");
    add_project(*quote_command, common);
    add_purchase(*quote_command, common);
    quote_command->add_option("--against", against,
                              "The accepted quote, as --json wrote it: what has changed since");
    quote_command->add_option("--pdf", pdf, "Write it as PDF");
    quote_command->add_flag("--json", common.json, "As JSON: keep it as the accepted quote");
    quote_command->callback([&] { status = quote(common, against, pdf); });

    CLI::App* record_command =
        app.add_subcommand("record", "What is ordered, received, cut or worked, into the project");
    add_project(*record_command, common);
    CLI::Option* supplier =
        record_command->add_option("--supplier", news.supplier, "Whose order it is about");
    record_command->add_option("--state", news.state, "How far it is")
        ->check(CLI::IsMember({"ordered", "received", "cut"}))
        ->needs(supplier);
    supplier->needs("--state");
    record_command->add_option("--amount", news.amount, "What is asked for it, without tax")
        ->needs(supplier);
    record_command->add_option("--arrives", news.arrives, "The day promised")->needs(supplier);
    CLI::Option* step = record_command->add_option(
        "--step", news.step, "The step or task worked on, as plan --json names it");
    step->excludes(supplier);
    CLI::Option* hours = record_command->add_option("--hours", news.hours, "Time, as '3.5 h'");
    hours->needs(step);
    step->needs(hours);
    record_command->add_option("--who", news.who, "Who worked, as under people")->needs(step);
    record_command->add_flag("--done", news.done, "Nothing of the step is left")->needs(step);
    record_command->add_option("--on", news.on, "The day, as 2027-03-10");
    record_command->callback([&] {
        if (news.supplier.empty() && news.step.empty())
            throw CLI::RequiredError("--supplier with --state, or --step with --hours");
        status = record(common, news);
    });

    CLI::App* close_command =
        app.add_subcommand("close", "Estimate against actual, and what is left over");
    add_project(*close_command, common);
    close_command->add_option("--stock", stock, "Write what is left into this stock file");
    close_command->add_flag("--json", common.json, "As JSON");
    close_command->callback([&] { status = close_job(common, stock); });

    CLI::App* weigh_command =
        app.add_subcommand("weigh", "What being done sooner costs, and what fewer suppliers cost");
    add_project(*weigh_command, common);
    add_limits(*weigh_command, common);
    weigh_command->add_flag("--json", common.json, "As JSON");
    weigh_command->callback([&] { status = weigh(common); });

    CLI::App* fields_command =
        app.add_subcommand("fields", "What a kind of line or a class of goods may say");
    fields_command->add_option("NAME", path, "Such as panel or sheet; without it, which there are");
    fields_command->add_option("--plugins", common.plugins,
                               "Plugin folders; default: those of this program");
    fields_command->callback([&] { status = list_fields(common, path); });

    CLI::App* plugin_command = app.add_subcommand("plugin", "Modules");
    plugin_command->require_subcommand(1);
    CLI::App* list_command = plugin_command->add_subcommand("list", "Loaded and refused modules");
    add_folders(*list_command, common);
    list_command->callback([&] { status = list_plugins(common); });

    CLI::App* module_check_command =
        plugin_command->add_subcommand("check", "Whether a module keeps the contract");
    module_check_command->add_option("FILE", path, "The shared object")->required();
    module_check_command->add_option("--catalogs", common.catalogs,
                                     "Catalog folders with the reference tables that it reads");
    module_check_command->add_flag("--json", common.json, "As JSON");
    module_check_command->callback([&] { status = check_module(common, path); });

    CLI::App* catalog_command = app.add_subcommand("catalog", "Suppliers and price lists");
    catalog_command->require_subcommand(1);
    CLI::App* check_command = catalog_command->add_subcommand(
        "check", "Every fault of the price lists, by row and column");
    check_command->add_option("PATH", path, "A catalog folder, which holds suppliers/")->required();
    check_command->add_option("--plugins", common.plugins,
                              "Plugin folders; default: those of this program");
    check_command->add_flag("--json", common.json, "As JSON");
    check_command->callback([&] { status = check_catalog(common, path); });

    CLI::App* import_command = catalog_command->add_subcommand(
        "import", "A dealer's spreadsheet, through a saved mapping");
    import_command->add_option("FILE", path, "The spreadsheet, saved as CSV")->required();
    import_command->add_option("--mapping", mapping_file, "The mapping, *.mapping.json")
        ->required();
    import_command->add_option("--into", into, "The supplier's folder")->required();
    import_command->add_option("--plugins", common.plugins,
                               "Plugin folders; default: those of this program");
    import_command->add_flag("--dry-run", dry_run, "Say what it would do and write nothing");
    import_command->add_flag("--json", common.json, "As JSON");
    import_command->callback(
        [&] { status = import_list(common, path, mapping_file, into, dry_run); });

    try {
        app.parse(argc, argv);
        return status;
    } catch (const CLI::ParseError& error) {
        if (const std::string wrong = unknown_command(app, argc, argv); !wrong.empty()) {
            std::cerr << wrong << '\n';
            return wrong_usage;
        }
        return app.exit(error) == 0 ? fine : wrong_usage;
    } catch (const FaultError& error) {
        std::cerr << error.what() << '\n';
        return error.faults().front().code == "no-modules" ? no_estimate : input_fault;
    } catch (const std::exception& error) {
        std::cerr << "aumbry: " << error.what() << '\n';
        return no_estimate;
    }
}
