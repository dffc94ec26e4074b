// The sections of a project as field records.
#include "aumbry/project.hpp"

#include "aumbry/field_makers.hpp"

namespace aumbry {

using contract::Field;

namespace {

Field percent_field(std::string name, std::string title, std::string help) {
    return at_most(at_least(number_field(std::move(name), std::move(title), std::move(help)), 0),
                   1000);
}
std::vector<std::string> phases() {
    const auto words = contract::phase_words();
    return {words.begin(), words.end()};
}

} // namespace

std::span<const Field> workshop_fields() {
    static const std::vector<Field> fields{
        with_default(at_least(quantity_field("kerf", "mm", "Saw kerf",
                                             "width of the saw cut; 3.2 mm (1/8 in) for a full "
                                             "blade, 2.4 mm for a thin one"),
                              0),
                     3.2),
        with_default(
            at_least(quantity_field(
                         "clean_up", "mm", "Edge clean-up",
                         "cut off every edge of a sheet before parts are cut; 5 to 10 mm is usual"),
                     0),
            10.0),
        with_default(at_least(quantity_field("end_trim", "mm", "End trim",
                                             "cut off each end of a board before parts are cut"),
                              0),
                     20.0),
        quantity_field("longest_rip", "mm", "Longest rip",
                       "the longest cut that your saw and guide can make"),
        quantity_field("heaviest_blank", "kg", "Heaviest blank",
                       "the mass that one person lifts safely"),
        with_default(quantity_field("longest_alone", "mm", "Longest carried alone",
                                    "a longer part is carried by two (common practice)"),
                     2000.0),
        with_default(quantity_field("largest_alone", "m2", "Largest carried alone",
                                    "a larger part is carried by two (common practice)"),
                     1.5),
        with_default(at_most(at_least(number_field("hours_a_day", "Hours a day",
                                                   "working hours of a full day"),
                                      0.25),
                             24),
                     8.0),
        with_default(at_most(at_least(number_field("productive", "Productive share",
                                                   "per cent of those hours in which work goes on; "
                                                   "80 to 85 is usual (common practice)"),
                                      10),
                             100),
                     100.0),
        with_default(texts_field("weekdays", "Working days",
                                 "days of the week worked: \"monday\" to \"sunday\""),
                     Json::array({"monday", "tuesday", "wednesday", "thursday", "friday"})),
        texts_field("holidays", "Holidays",
                    "days not worked, as 2027-04-02 or 2027-08-02/2027-08-13"),
        quantity_field("rack", "m2", "Drying rack", "area of parts that can lie drying at once"),
        number_field("temperature", "Temperature",
                     "degrees Celsius in the workshop; drying times hold at about 20"),
        at_most(at_least(number_field("humidity", "Humidity",
                                      "per cent of relative humidity in the workshop; drying "
                                      "times hold at about 50"),
                         0),
                100),
        choice_field(
            "late_orders", "Late orders", {"always", "never"},
            "whether goods that a step of the making tells the right kind of, as weighing a "
            "panel does for its springs, are ordered once it is done; without a word "
            "they are where the job is ready no later for it and that costs less than "
            "buying them once more"),
        choice_field("wall", "Wall",
                     {"unknown", "solid masonry", "hollow masonry", "concrete", "timber studs",
                      "metal studs", "plasterboard"},
                     "what the wall is made of into which the piece is fixed"),
    };
    return fields;
}

std::span<const Field> vehicle_fields() {
    static const std::vector<Field> fields{
        required(quantity_field("length", "mm", "Length", "of the longest that fits into it")),
        required(quantity_field("width", "mm", "Width", "of the widest that fits into it")),
        quantity_field("height", "mm", "Height", "of its room; absent: what lies flat fits"),
        quantity_field("load", "kg", "Payload", "the mass that the vehicle may carry"),
        with_default(at_least(quantity_field("trip", "min", "Time of a trip",
                                             "hands-on time to fetch an order, there and back, "
                                             "loading included; an hour is common practice"),
                              0),
                     60.0),
    };
    return fields;
}

std::span<const Field> site_fields() {
    static const std::vector<Field> fields{
        texts_field("weekdays", "Open on", "days of the week on which the house is open for work"),
        texts_field("dates", "Dates", "the only dates on which it is, as 2027-03-10"),
    };
    return fields;
}

std::span<const Field> pricing_fields() {
    static const std::vector<Field> fields{
        with_default(
            flag_field("tax_recoverable", "Tax recoverable",
                       "true when the tax paid on purchases is claimed back and so is no cost"),
            true),
        with_default(percent_field("tax_charged", "Tax charged",
                                   "per cent of tax that the client is charged"),
                     0.0),
        percent_field("tax_on_quotes", "Tax on quoted prices",
                      "per cent of tax on prices stated in the project that say nothing of it; "
                      "absent: as the client is charged"),
        with_default(percent_field("contingency", "Contingency",
                                   "per cent added for what is likely but not known"),
                     0.0),
        percent_field("markup", "Markup", "per cent added on cost; or give a margin"),
        at_most(percent_field("margin", "Margin",
                              "per cent of the price that is not cost; or give a markup"),
                99),
        money_field("rate", "Rate of work",
                    "cost of an hour of work of those who state none of their own"),
        at_most(percent_field("deposit", "Deposit", "per cent of the total due with the order"),
                100),
        money_field("rounded_to", "Rounded to",
                    "what a client is shown is rounded to a multiple of this amount"),
        count_field("valid_days", "Valid for",
                    "days for which a quote holds, within what the prices allow"),
    };
    return fields;
}

std::span<const Field> person_fields() {
    static const std::vector<Field> fields{
        text_field("title", "Name", "what the person is called on paper"),
        money_field("rate", "Rate", "cost of an hour"),
        texts_field("weekdays", "Working days", "days of the week worked"),
        with_default(at_most(at_least(number_field("hours_a_day", "Hours a day",
                                                   "working hours of a full day"),
                                      0.25),
                             24),
                     8.0),
        texts_field("dates", "Dates", "the only dates on which the person is there, as 2027-03-10"),
        at_least(
            quantity_field("least", "min", "Least charge", "time charged at least for each day"),
            0),
    };
    return fields;
}

std::span<const Field> task_fields() {
    static const std::vector<Field> fields{
        text_field("title", "Title", "what is done"),
        text_field("piece", "Piece", "the piece it belongs to; empty for the whole job"),
        with_default(at_least(quantity_field("hours", "min", "Time",
                                             "hands-on time of each person, as '3 h' or '90 min'"),
                              0),
                     0.0),
        with_default(
            at_least(quantity_field("wait", "min", "Wait",
                                    "unattended time after it, through the night, as '12 h'"),
                     0),
            0.0),
        with_default(
            at_most(at_least(count_field("people", "People", "how many work on it"), 1), 20), 1),
        texts_field("who", "Who", "ids under `people`; empty: the maker"),
        money_field("rate", "Rate",
                    "cost of an hour of each person, when it is not the person's own"),
        with_default(choice_field("phase", "Phase", phases(),
                                  "what it does to its piece: it comes after all that is earlier "
                                  "in this list"),
                     "assemble"),
        texts_field("after", "After",
                    "tasks, steps or lines that must be finished or in hand before it"),
        texts_field("before", "Before", "tasks or steps that must not begin before it is done"),
        date_field("not_before", "Not before", "the earliest day"),
    };
    return fields;
}

std::span<const Field> piece_fields() {
    static const std::vector<Field> fields{
        required(text_field("title", "Title", "what the piece is called on paper")),
        texts_field("warnings", "Warnings",
                    "what about it could kill or maim; said with every estimate"),
        texts_field("cautions", "Cautions",
                    "what about it could hurt a little or spoil something; said with every "
                    "estimate"),
        text_field("note", "Note", "anything worth remembering"),
    };
    return fields;
}

std::span<const Field> check_fields() {
    static const std::vector<Field> fields{
        required(text_field("text", "Text",
                            "what must hold, as a sentence: \"The frame fits the wall.\"")),
        texts_field("equal", "Equal", "two formulas that must come to the same"),
        texts_field("at_most", "At most",
                    "two formulas of which the first may not come to more than the second"),
        text_field("within", "Within",
                   "how much may be missing, as a quantity or formula; nothing when not stated"),
    };
    return fields;
}

std::span<const Field> supplier_wish_fields() {
    static const std::vector<Field> fields{
        texts_field("exclude", "Excluded", "suppliers not to buy from"),
        texts_field("prefer", "Preferred",
                    "suppliers that fill what they can fill whole, whatever others ask"),
        records_field(
            "rates", "Rates", "what one unit of a supplier's currency costs in the project's",
            {required(text_field("currency", "Currency", "ISO 4217 code")),
             required(money_field("rate", "Rate", "project currency for one unit, as \"1.0825\"")),
             required(date_field("on", "Date", "the day of the rate"))}),
        records_field("carriage", "Carriage", "how a supplier's goods come, if not the cheaper way",
                      {required(text_field("supplier", "Supplier", "id of the supplier")),
                       required(choice_field("by", "By", {"vehicle", "delivered"},
                                             "fetched in the vehicle, or brought by him"))}),
    };
    return fields;
}

std::span<const Field> party_fields() {
    static const std::vector<Field> fields{
        required(text_field("name", "Name", "as it stands on an order, a quote or an invoice")),
        texts_field("address", "Address", "its lines, from the street on"),
        text_field("contact", "Contact", "telephone or e-mail address"),
        text_field("tax_number", "Tax number", "of the business, where there is one"),
    };
    return fields;
}

std::span<const Field> bought_fields() {
    static const std::vector<Field> fields{
        required(text_field("supplier", "Supplier", "id of the supplier, or a name")),
        text_field("sku", "Article", "the supplier's number of it"),
        required(text_field("title", "Title", "what it is")),
        text_field("class", "Class", "catalog class of the thing"),
        with_default(at_least(count_field("count", "Count", "how many were bought"), 0), 1),
        required(money_field("amount", "Paid", "for all of them, without tax")),
        with_default(money_field("tax", "Tax", "on all of them"), "0"),
        with_default(choice_field("charge", "Charge", {"goods", "service", "delivery"},
                                  "what kind of cost it is"),
                     "goods"),
        required(choice_field("state", "State", {"ordered", "received", "cut"},
                              "ordered; received and whole; cut or used up")),
        date_field("on", "On", "the day of the latest change of state"),
        date_field("arrives", "Arrives", "when what is ordered will be in hand"),
        at_least(quantity_field("trip", "min", "Trip",
                                "time to fetch the order, on the entry of what fetching costs"),
                 0),
        records_field("for", "For", "the demands that it serves",
                      {required(text_field("demand", "Demand", "as the estimate names it")),
                       with_default(number_field("content", "Content",
                                                 "of one, in the demand's unit; 0 for what is cut"),
                                    0.0)}),
        text_field("note", "Note", "anything worth remembering"),
    };
    return fields;
}

std::span<const Field> worked_fields() {
    static const std::vector<Field> fields{
        required(text_field("step", "Step", "the step or task, as `aumbry plan --json` names it")),
        with_default(text_field("who", "Who", "id under `people`"), "maker"),
        required(at_least(quantity_field("hours", "min", "Time", "as '3.5 h'"), 0)),
        date_field("on", "On", "the day"),
        with_default(flag_field("done", "Done", "nothing of the step is left to do"), false),
        text_field("note", "Note", "anything worth remembering"),
    };
    return fields;
}

std::span<const Field> quote_fields() {
    static const std::vector<Field> fields{
        text_field("number", "Number", "what you file the quote under"),
        texts_field("included", "Included",
                    "what the price holds, in your words; empty: the titles of each piece's lines"),
        texts_field("not_included", "Not included", "what the client sees to"),
        records_field(
            "stages", "Stages",
            "when parts of the total are due; what they leave is due when the job is done",
            {required(text_field("title", "Title", "when it is due: \"with the order\"")),
             required(
                 at_most(at_least(number_field("percent", "Per cent", "of the total"), 0), 100)),
             date_field("on", "On",
                        "the day on which it is expected; absent: the first with the "
                        "orders, others when work begins")}),
        texts_field("terms", "Terms", "further sentences of the quote"),
    };
    return fields;
}

std::span<const Field> common_line_fields() {
    static const std::vector<Field> fields{
        required(text_field("kind", "Kind", "what kind of line it is")),
        text_field("piece", "Piece", "the piece it belongs to"),
        text_field("title", "Title", "what it is called on paper"),
        text_field("material", "Material", "a role under `materials`"),
        with_default(at_least(count_field("count", "Count", "how many"), 1), 1),
        with_default(flag_field("size_known", "Size known",
                                "true: parts that follow its size are cut before it is in hand and "
                                "measured"),
                     false),
        text_field("from_list", "From list",
                   "the parts list that it came from; `aumbry parts --in` keeps it in step"),
        text_field("note", "Note", "anything worth remembering"),
    };
    return fields;
}

std::span<const Field> common_owned_fields() {
    static const std::vector<Field> fields{
        required(text_field("class", "Class", "catalog class of the thing")),
        text_field("title", "Title", "what you call it"),
        with_default(at_least(count_field("count", "Count", "how many you have"), 1), 1),
        with_default(
            money_field("value", "Value", "what using one of it costs you; usually nothing"), "0"),
        text_field("note", "Note", "anything worth remembering"),
    };
    return fields;
}

} // namespace aumbry
