"""Feeds the saw simulator plans made by hand, so that the oracle itself is known to pass what is right and to catch
every kind of fault. The figures are reckoned on paper, not by the program: all lengths in mm.
"""
import copy
import unittest

import saw_simulator as saw


def cut(blank, direction, position, kind, first=None, second=None, by="workshop", kerf=2.4, accuracy=0):
    made = {"blank": blank, "direction": direction, "position": position, "kerf": kerf, "accuracy": accuracy,
            "by": by, "kind": kind}
    return made | {name: number for name, number in (("first", first), ("second", second)) if number is not None}


def blanks(*rectangles):
    return [dict(zip(("x", "y", "length", "width"), rectangle)) for rectangle in rectangles]


def part(line, blank, x, y, length, width, **more):
    return {"line": line, "blank": blank, "x": x, "y": y, "length": length, "width": width, "rotated": False,
            "finished": {"length": length, "width": width}} | more


def good_plan():
    """The dealer divides a sheet of 1000 x 600 at 700; the workshop cleans every edge by 8, cuts a side from one piece
    and a back from the other."""
    return {
        "sheet": {"length": 1000, "width": 600}, "copies": 2, "clean_up": 8, "kerf": 2.4,
        "blanks": blanks(
            (0, 0, 1000, 600),  # 0: as delivered
            (0, 0, 700, 600), (704, 0, 296, 600),  # 1, 2: as the dealer hands them over
            (0, 8, 700, 592), (0, 8, 700, 350), (0, 360.4, 700, 239.6), (8, 8, 692, 350), (8, 8, 600, 350),  # 3 to 7
            (712, 0, 288, 600), (712, 8, 288, 592), (712, 8, 250, 592), (712, 8, 250, 500)),  # 8 to 11
        "cuts": [
            cut(0, "length", 700, "crosscut", 1, 2, by="dealer", kerf=4, accuracy=1),
            cut(1, "width", 5.6, "trim", second=3),
            cut(3, "width", 350, "rip", 4, 5),
            cut(4, "length", 5.6, "trim", second=6),
            cut(6, "length", 600, "crosscut", 7),
            cut(2, "length", 5.6, "trim", second=8),
            cut(8, "width", 5.6, "trim", second=9),
            cut(9, "length", 250, "rip", 10),
            cut(10, "width", 500, "crosscut", 11)],
        "placements": [part("side", 7, 8, 8, 600, 350), part("back", 11, 712, 8, 250, 500)],
        "offcuts": [{"x": 0, "y": 360.4, "length": 700, "width": 239.6, "keep": True}],
    }


def drawer_plan():
    """Three drawer sides of 600 x 350 out of one strip, planned with 5 for every cut: the last is what is left."""
    return {
        "sheet": {"length": 700, "width": 1100}, "copies": 1, "clean_up": 8, "kerf": 5,
        "blanks": blanks((0, 0, 700, 1100), (0, 8, 700, 1092), (8, 8, 692, 1092), (8, 8, 692, 1060), (8, 8, 600, 1060),
                         (8, 8, 600, 350), (8, 363, 600, 705), (8, 363, 600, 350), (8, 718, 600, 350)),
        "cuts": [
            cut(0, "width", 3, "trim", second=1, kerf=5),
            cut(1, "length", 3, "trim", second=2, kerf=5),
            cut(2, "width", 1060, "crosscut", 3, kerf=5),
            cut(3, "length", 600, "rip", 4, kerf=5),
            cut(4, "width", 350, "rip", 5, 6, kerf=5),
            cut(6, "width", 350, "rip", 7, 8, kerf=5)],
        "placements": [part("drawer_side", 5, 8, 8, 600, 350), part("drawer_side", 7, 8, 363, 600, 350),
                       part("drawer_side", 8, 8, 718, 600, 350)],
        "offcuts": [],
    }


def whole_sheet_plan(clean_up):
    """A shelf as wide as the sheet, cut to length from a factory edge, and the rest of the sheet as scrap."""
    return {
        "sheet": {"length": 1000, "width": 300}, "copies": 1, "clean_up": clean_up, "kerf": 2.4,
        "blanks": blanks((0, 0, 1000, 300), (0, 0, 900, 300)),
        "cuts": [cut(0, "length", 900, "crosscut", 1)],
        "placements": [part("shelf", 1, 0, 0, 900, 300)], "offcuts": [],
    }


def dealt_plan(**said):
    """Two doors cut to size by the dealer, whose edges are good enough, from a sheet with clean edges."""
    return {
        "sheet": {"length": 1000, "width": 597.3}, "copies": 1, "clean_up": 0, "kerf": 2.4,
        "blanks": blanks((0, 0, 1000, 597.3), (0, 0, 412.4, 597.3), (416.4, 0, 583.6, 597.3), (416.4, 0, 412.4, 597.3)),
        "cuts": [cut(0, "length", 412.4, "rip", 1, 2, by="dealer", kerf=4, accuracy=1),
                 cut(2, "length", 412.4, "rip", 3, by="dealer", kerf=4, accuracy=1)],
        "placements": [part("door", 1, 0, 0, 412.4, 597.3, **said), part("door", 3, 416.4, 0, 412.4, 597.3, **said)],
        "offcuts": [],
    }


class Checked(unittest.TestCase):
    def assert_says(self, plan, *sentences):
        found = saw.faults(plan)
        for sentence in sentences:
            self.assertIn(sentence, found)

    def assert_says_only(self, plan, *sentences):
        self.assertEqual(sorted(saw.faults(plan)), sorted(sentences))


class Right(Checked):
    def test_a_right_plan_has_no_fault(self):
        self.assert_says_only(good_plan())

    def test_pieces_lie_where_paper_says_and_know_who_made_their_edges(self):
        result = saw.simulate(good_plan())
        self.assertEqual(result.left, {5, 7, 11})
        side, strip = result.pieces[7], result.pieces[2]
        self.assertEqual([(side[a].start, side[a].size, side[a].near, side[a].far) for a in saw.AXES],
                         [(8, 600, "workshop", "workshop"), (8, 350, "workshop", "workshop")])
        self.assertEqual((strip["length"].near, strip["length"].far), ("dealer", "factory"))
        self.assertIsNone(strip["length"].fence)
        self.assertEqual(side["width"].fence, saw.Fence("workshop", "workshop", 0))

    def test_a_sheet_with_clean_edges_needs_no_trim_and_counts_as_set(self):
        self.assert_says_only(whole_sheet_plan(clean_up=0))

    def test_a_dealer_may_cut_to_size_where_his_edge_will_do(self):
        self.assert_says_only(dealt_plan(dealer_edge_will_do=True))

    def test_a_last_cut_may_run_out_of_the_sheet_where_the_rest_falls_away(self):
        plan = whole_sheet_plan(clean_up=0)
        plan["cuts"][0]["position"] = plan["blanks"][1]["length"] = plan["placements"][0]["length"] = 998.5
        self.assert_says_only(plan)


class LeftOver(Checked):
    def test_three_drawer_sides_with_a_thin_blade(self):
        """Planned with 5, cut with 2.4: the two cuts before the last side leave 2 x 2.6 too much, 355.2 for 350."""
        result = saw.simulate(drawer_plan(), kerf_of=lambda planned: 2.4)
        sizes = [result.pieces[number]["width"].size for number in (5, 7, 8)]
        for size, expected in zip(sizes, (350, 350, 355.2)):
            self.assertAlmostEqual(size, expected)

    def test_what_a_cut_leaves_over_is_no_part(self):
        """With 0.2 more or less a cut the last side is 0.4 off; the others are set and stay as they are."""
        found = saw.faults(drawer_plan())
        self.assertIn("Part drawer_side (blank 8) is left over along its width: no fence sets it.", found)
        self.assertEqual(len(found), 2)
        self.assertRegex(found[1], r"^Part drawer_side \(blank 8\) comes out (350.4|349.6) mm along its width "
                                   r"instead of 350 mm when the blade takes 0.2 mm (less|more)\.$")

    def test_a_size_measured_from_an_uncleaned_edge_is_not_set(self):
        self.assert_says_only(
            whole_sheet_plan(clean_up=8),
            "Part shelf (blank 1) is not set along its length: the workshop cut it from an edge of the factory.",
            "Part shelf (blank 1) keeps an edge of the factory at the near end of its length.",
            "Part shelf (blank 1) is not set along its width: the factory cut it from an edge of the factory.",
            "Part shelf (blank 1) keeps an edge of the factory at the near end of its width.",
            "Part shelf (blank 1) keeps an edge of the factory at the far end of its width.")

    def test_a_dealer_sets_no_size_where_his_edge_will_not_do(self):
        self.assert_says(
            dealt_plan(),
            "Part door (blank 1) is not set along its length: the dealer cut it from an edge of the factory.",
            "Part door (blank 1) keeps an edge of the dealer at the far end of its length.",
            "Part door (blank 3) keeps an edge of the dealer at the near end of its length.",
            "Cut 0, the dealer's, at 412.4 mm is neither a whole millimetre nor a whole eighth of an inch.",
            "Part door (blank 1) comes out 411.4 mm along its length instead of 412.4 mm "
            "when the blade takes 0.2 mm less and the dealer cuts short.")


class Blanks(Checked):
    def test_a_blank_that_was_never_made(self):
        plan = good_plan()
        plan["cuts"][4]["blank"] = 12
        self.assert_says(plan, "Cut 4 uses blank 12, which does not exist then.",
                         "Part side (blank 7) is not there: no cut makes its blank.",
                         "Blank 7 is listed, but no cut makes it.")

    def test_a_blank_that_is_cut_already(self):
        plan = good_plan()
        plan["cuts"][3]["blank"] = 3
        self.assert_says(plan, "Cut 3 uses blank 3, which does not exist then.")

    def test_a_blank_made_twice(self):
        plan = good_plan()
        plan["cuts"][7]["first"] = 7
        self.assert_says(plan, "Cut 7 makes blank 7, which was made before.")

    def test_a_blank_that_is_not_listed(self):
        plan = good_plan()
        plan["cuts"][4]["second"] = 12
        self.assert_says_only(plan, "Blank 12 is cut, but not listed.")

    def test_a_piece_off_its_size(self):
        plan = good_plan()
        plan["blanks"][5]["width"] = 237
        self.assert_says_only(plan, "Blank 5 comes out 700 x 239.6 at 0, 360.4; the plan says 700 x 237 at 0, 360.4.")

    def test_a_plan_that_forgets_what_a_cut_takes(self):
        plan = good_plan()
        plan["cuts"][5]["kerf"] = 0
        self.assert_says(plan, "Blank 8 comes out 290.4 x 600 at 709.6, 0; the plan says 288 x 600 at 712, 0.",
                         "Part back (blank 11) comes from 709.6, 8; the plan says 712, 8.")

    def test_a_plan_without_kinds_and_kerfs(self):
        plan = good_plan()
        del plan["clean_up"], plan["cuts"][1]["kind"], plan["cuts"][0]["kerf"], plan["cuts"][0]["accuracy"]
        self.assert_says_only(plan, "The plan does not say its clean_up.", "Cut 0 does not say its kerf, accuracy.",
                              "Cut 1 does not say its kind.")


class Parts(Checked):
    def test_a_part_off_its_size(self):
        plan = good_plan()
        plan["placements"][0]["length"] = 598
        self.assert_says_only(plan, "Part side (blank 7) comes out 600 mm along its length instead of 598 mm "
                                    "with the saws as planned.")

    def test_a_part_that_keeps_the_dealers_edge(self):
        """The back is cut from the dealer's edge with no trim before."""
        plan = good_plan()
        plan["cuts"][5:] = [cut(2, "width", 5.6, "trim", second=8), cut(8, "length", 250, "rip", 9),
                            cut(9, "width", 500, "crosscut", 10)]
        plan["blanks"][8:] = blanks((704, 8, 296, 592), (704, 8, 250, 592), (704, 8, 250, 500))
        plan["placements"][1] = part("back", 10, 704, 8, 250, 500)
        self.assert_says_only(
            plan, "Part back (blank 10) is not set along its length: the workshop cut it from an edge of the dealer.",
            "Part back (blank 10) keeps an edge of the dealer at the near end of its length.")
        plan["placements"][1]["dealer_edge_will_do"] = True
        self.assert_says_only(plan)

    def test_a_part_that_is_cut_further(self):
        plan = good_plan()
        plan["placements"][0] = part("side", 6, 8, 8, 692, 350)
        self.assert_says(plan, "Part side (blank 6) is cut further.")

    def test_parts_that_overlap(self):
        plan = good_plan()
        plan["placements"].append(part("lid", 5, 0, 300, 700, 239.6))
        self.assert_says(plan, "Part side (blank 7) and Part lid (blank 5) overlap.")

    def test_a_part_outside_the_sheet(self):
        plan = good_plan()
        plan["placements"][1]["x"] = 760
        self.assert_says(plan, "Part back (blank 11) lies outside the sheet.")


class Cuts(Checked):
    def test_a_position_outside_the_blank(self):
        plan = good_plan()
        plan["cuts"][4]["position"] = 692
        self.assert_says(plan, "Cut 4 at 692 mm lies outside blank 6, which is 692 mm there.")

    def test_a_kerf_that_leaves_nothing_of_a_piece_that_should_remain(self):
        plan = good_plan()
        plan["cuts"][4]["second"] = 12
        plan["cuts"][4]["position"] = 690
        self.assert_says(plan, "Cut 4 at 690 mm leaves nothing for blank 12: blank 6 is 692 mm there, the kerf 2.4 mm.")

    def test_the_workshop_before_the_dealer(self):
        plan = good_plan()
        late = cut(5, "length", 300, "crosscut", 12, 13, by="dealer", kerf=4, accuracy=1)
        plan["cuts"].insert(3, late)
        plan["blanks"] += blanks((0, 360.4, 300, 239.6), (304, 360.4, 396, 239.6))
        self.assert_says_only(plan, "Cut 1 is the workshop's, but the dealer still makes cut 3.",
                              "Cut 2 is the workshop's, but the dealer still makes cut 3.")

    def test_a_dealers_position_between_the_marks_of_his_scale(self):
        for position, sentences in ((700.4, 1), (701, 0), (698.5, 0), (701.675, 0), (701.677, 1)):
            with self.subTest(position=position):
                plan = good_plan()
                plan["cuts"][0]["position"] = position
                found = [sentence for sentence in saw.faults(plan) if "the dealer's" in sentence]
                self.assertEqual(found, [f"Cut 0, the dealer's, at {position} mm is neither a whole millimetre nor a "
                                         "whole eighth of an inch."] * sentences)

    def test_a_wrong_kind(self):
        for number, kind, sentence in (
                (0, "rip", "Cut 0 is called a rip, but runs 600 mm past a piece that is 700 mm the other way."),
                (2, "crosscut", "Cut 2 is called a crosscut, but runs 700 mm past a piece that is 350 mm the "
                                "other way."),
                (1, "rip", "Cut 1 is called a rip, but cuts nothing off."),
                (4, "trim", "Cut 4 is called a trim, but a trim keeps what lies beyond it and nothing else."),
                (4, "nibble", "Cut 4 is called a nibble, which is no kind of cut.")):
            with self.subTest(number=number, kind=kind):
                plan = good_plan()
                plan["cuts"][number]["kind"] = kind
                self.assert_says_only(plan, sentence)

    def test_a_cut_for_an_offcut_alone(self):
        plan = good_plan()
        plan["cuts"].append(cut(5, "length", 300, "crosscut", 12, 13))
        plan["blanks"] += blanks((0, 360.4, 300, 239.6), (302.4, 360.4, 397.6, 239.6))
        self.assert_says_only(plan, "Cut 9 serves no part: neither of its pieces holds one.")

    def test_a_dealer_may_cut_for_an_offcut(self):
        plan = good_plan()
        plan["cuts"].insert(1, cut(2, "width", 400, "rip", 12, 13, by="dealer", kerf=4, accuracy=1))
        plan["cuts"][6:] = []
        plan["placements"].pop()
        plan["blanks"][8:] = []
        found = saw.faults(plan)
        self.assertEqual([sentence for sentence in found if "serves no part" in sentence], [])


class Inaccuracy(Checked):
    def test_a_dealer_who_cuts_short_must_leave_enough(self):
        """609 less 8 of clean-up is enough for 600; less 1 of the dealer's and 0.2 of the blade's it is not."""
        plan = good_plan()
        plan["cuts"][0]["position"] = 609
        for number, (x, length) in {1: (0, 609), 2: (613, 387), 3: (0, 609), 4: (0, 609), 5: (0, 609), 6: (8, 601),
                                    8: (621, 379), 9: (621, 379), 10: (621, 250), 11: (621, 250)}.items():
            plan["blanks"][number] |= {"x": x, "length": length}
        plan["placements"][1]["x"] = 621
        other_saw = "when the blade takes 0.2 mm more and the dealer cuts short."
        self.assert_says_only(
            plan, f"Part side (blank 7) comes out 599.8 mm along its length instead of 600 mm {other_saw}",
            f"Cut 4 at 600 mm lies outside blank 6, which is 599.8 mm there {other_saw}")

    def test_a_dealer_who_cuts_long_must_leave_enough_beyond(self):
        """741 and 4 leave 255: enough for 250 when the rest is cleaned by 4, not when he cuts 1 long."""
        plan = good_plan()
        plan["cuts"][0]["position"], plan["cuts"][5]["position"] = 741, 1.6
        for number, (x, length) in {1: (0, 741), 2: (745, 255), 3: (0, 741), 4: (0, 741), 5: (0, 741), 6: (8, 733),
                                    8: (749, 251), 9: (749, 251), 10: (749, 250), 11: (749, 250)}.items():
            plan["blanks"][number] |= {"x": x, "length": length}
        plan["placements"][1]["x"] = 749
        found = saw.faults(plan)
        self.assertEqual(len(found), 2)
        self.assertEqual(found[1], "Cut 7 at 250 mm lies outside blank 9, which is 249.8 mm there "
                                   "when the blade takes 0.2 mm more and the dealer cuts long.")


class Vehicle(Checked):
    def test_blanks_lie_either_way(self):
        plan = good_plan()
        self.assertEqual(saw.vehicle_faults(plan, 700, 600), [])
        self.assertEqual(saw.vehicle_faults(plan, 600, 700), [])

    def test_a_blank_that_is_too_large(self):
        self.assertEqual(saw.vehicle_faults(good_plan(), 699, 650),
                         ["Blank 1, 700 x 600 as it is handed over, does not lie in the vehicle, 699 x 650."])

    def test_what_holds_no_part_stays_with_the_dealer(self):
        plan = good_plan()
        plan["placements"].pop(0)
        self.assertEqual(saw.vehicle_faults(plan, 600, 296), [])

    def test_a_sheet_that_nobody_divides(self):
        self.assertEqual(saw.vehicle_faults(drawer_plan(), 2100, 650),
                         ["Blank 0, 700 x 1100 as it is handed over, does not lie in the vehicle, 2100 x 650."])

    def test_a_blank_stands_on_edge_where_the_height_is_told(self):
        self.assertEqual(saw.vehicle_faults(good_plan(), 700, 500, 600), [])
        self.assertEqual(saw.vehicle_faults(good_plan(), 700, 500, 599),
                         ["Blank 1, 700 x 600 as it is handed over, does not lie in the vehicle, 700 x 500 x 599."])

    def test_sticks_stand_a_saw_cut_apart_within_the_board(self):
        board = {"board": {"length": 2400, "width": 70, "thickness": 28}, "kerf": 2.4, "end_trim": 20, "copies": 1}
        right = board | {"pieces": [{"line": "slat", "position": 20, "length": 1000},
                                    {"line": "slat", "position": 1022.4, "length": 1000}]}
        self.assertEqual(saw.stick_faults(right), [])
        near = board | {"pieces": [{"line": "slat", "position": 20, "length": 1000},
                                   {"line": "slat", "position": 1021, "length": 1370}]}
        self.assertEqual(saw.stick_faults(near),
                         ["slat lies from 1021 to 2391 of a board of 2400 whose ends lose 20.",
                          "slat and slat stand 1 apart, less than the 2.4 of a saw cut."])
        rips = board | {"placements": [{"line": "a", "x": 20, "y": 0, "length": 900, "width": 30},
                                       {"line": "b", "x": 20, "y": 32.4, "length": 900, "width": 40}]}
        self.assertEqual(saw.stick_faults(rips), ["b lies from 32.4 to 72.4 across a board of 70."])

    def test_as_many_sticks_are_cut_as_are_wanted(self):
        estimate = {"lines": [{"id": "slat", "kind": "solid", "count": 3, "fields": {"length": 1000}}],
                    "board_plans": [{"copies": 2, "pieces": [{"line": "slat", "length": 999}]}]}
        self.assertEqual(saw.stick_counts(estimate), ["  slat is cut 999 long, less than 1000.",
                                                      "  slat: 2 are cut of 3."])

    def test_boards_are_handed_over_in_pieces(self):
        plan = {"board": {"length": 4200, "width": 70, "thickness": 28}, "pieces": [{"position": 20, "length": 1900}],
                "dealer_cuts": [{"position": 2100, "kerf": 4}]}
        self.assertEqual(saw.board_faults(plan, 2100, 1100), [])
        self.assertEqual(saw.board_faults(plan | {"dealer_cuts": []}, 2100, 1100),
                         ["The piece of 4200 from 0 on does not lie in the vehicle, 2100 x 1100."])
        self.assertEqual(saw.board_faults(plan | {"pieces": [{"position": 300, "length": 1900}]}, 2100, 1100),
                         ["The dealer's cut at 2100 goes through the part from 300 on."])

    def test_lengths_are_read_in_the_units_that_vehicles_are_told_in(self):
        for text, expected in (("2100 mm", 2100), ("2.1 m", 2100), ("8 ft 1 in", 2463.8), ("8' 1\"", 2463.8),
                               ("3 1/2 in", 88.9), ("13/4 in", 82.55), ("2100", None), ("bed_length", None), ("", None),
                               ("2100 mm - gap", None)):
            with self.subTest(text=text):
                found = saw.length_in_mm(text)
                self.assertEqual(found if found is None else round(found, 6), expected)

    def test_what_is_delivered_needs_no_vehicle(self):
        project = {"vehicle": {"length": "2100 mm", "width": "1100 mm"}}
        self.assertEqual(saw.vehicle_of(project), [2100, 1100])
        self.assertIsNone(saw.vehicle_of({}))
        self.assertIsNone(saw.vehicle_of(project | {"settings": {"sheet_goods": {"carriage": "delivered"}}}))


class Settings(Checked):
    def test_the_fence_is_set_when_position_or_direction_differ_from_before(self):
        """5.6 and 350 across, 5.6, 600 and 5.6 along, 5.6 across, 250 along, 500 across: 8. All trims are alike, so 5
        settings differ."""
        self.assertEqual(saw.settings(good_plan()), (8, 5))

    def test_a_setting_that_stays_counts_once(self):
        self.assertEqual(saw.settings(drawer_plan()), (5, 4))


class Project(Checked):
    def test_a_project_is_told_in_a_line_with_every_copy_counted(self):
        fetched = good_plan() | {"supplier": "quay", "offer": "quay/b18"}
        delivered = drawer_plan() | {"supplier": "barge", "offer": "barge/b18"}
        estimate = {"cutting_plans": [fetched, delivered], "further_plans": [{"type": "lift"}],
                    "orders": [{"supplier": "quay", "collected": True}, {"supplier": "barge", "collected": False}]}
        line, found = saw.check("bookcase", estimate, [2100, 500])
        self.assertEqual(line, "bookcase: 7 parts on 3 sheets, 1 off; 24 cuts, 13 settings")
        self.assertEqual([sentence for sentence in found if "vehicle" in sentence],
                         ["  sheet plan 0, quay/b18: Blank 1, 700 x 600 as it is handed over, does not lie in the "
                          "vehicle, 2100 x 500."])


if __name__ == "__main__":
    unittest.main()
