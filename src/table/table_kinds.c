/* table_kinds.c - the columns of every kind of table: the one description from which files are read,
 * checked, embedded, printed and, in tests, changed. */
#include "table_private.h"

#include <stddef.h>

#define COLUMN(type, heading, member, cell, dim, roles)                                            \
    {                                                                                              \
        heading, #member, TABLE_##cell, QTY_##dim, roles, offsetof(struct type, member)            \
    }
#define TEXT(type, heading, member, roles) COLUMN(type, heading, member, TEXT, NONE, roles)
#define LENGTH(type, heading, member, roles) COLUMN(type, heading, member, LENGTH, LENGTH, roles)
#define NUMBER(type, heading, member, dim, roles) COLUMN(type, heading, member, NUMBER, dim, roles)
#define BAND(type)                                                                                 \
    LENGTH(type, "over", over_pm, TABLE_OVER), LENGTH(type, "up-to", up_to_pm, TABLE_UP_TO)

enum { NEEDED = TABLE_NEEDED, KEY = TABLE_IN_KEY, LOW = TABLE_LOW, HIGH = TABLE_HIGH };

static const struct table_column thread_columns[] = {
    TEXT(table_thread, "name", name, KEY | NEEDED),
    TEXT(table_thread, "system", system, NEEDED),
    TEXT(table_thread, "series", series, 0),
    TEXT(table_thread, "size", size, NEEDED),
    TEXT(table_thread, "form", form, NEEDED),
    LENGTH(table_thread, "major", major_pm, NEEDED),
    LENGTH(table_thread, "pitch", pitch_pm, 0),
    NUMBER(table_thread, "tpi", tpi, NONE, 0),
    LENGTH(table_thread, "effective", effective_pm, 0),
    LENGTH(table_thread, "minor", minor_pm, 0),
    LENGTH(table_thread, "root", root_pm, 0),
    NUMBER(table_thread, "area", stress_area_m2, AREA, 0),
    TEXT(table_thread, "area-rule", area_rule, 0),
};
static const struct table_column form_columns[] = {
    TEXT(table_form, "name", name, KEY | NEEDED),
    NUMBER(table_form, "half-angle", flank_half_angle_deg, ANGLE, NEEDED),
    NUMBER(table_form, "height", height_per_pitch, NONE, NEEDED),
    NUMBER(table_form, "effective", effective_per_pitch, NONE, NEEDED),
    NUMBER(table_form, "minor", minor_per_pitch, NONE, NEEDED),
    NUMBER(table_form, "root", root_per_pitch, NONE, NEEDED),
    NUMBER(table_form, "radius", root_radius_per_pitch, NONE, 0),
    TEXT(table_form, "crest", crest, 0),
};
static const struct table_column hexagon_columns[] = {
    TEXT(table_hexagon, "thread", thread_size, KEY | NEEDED),
    TEXT(table_hexagon, "standard", standard, KEY | NEEDED),
    TEXT(table_hexagon, "spanner", spanner, 0),
    LENGTH(table_hexagon, "across-flats", across_flats_pm, NEEDED),
    LENGTH(table_hexagon, "face", bearing_face_pm, 0),
};
static const struct table_column hole_columns[] = {
    TEXT(table_hole, "thread", thread_size, KEY | NEEDED),
    TEXT(table_hole, "series", series, KEY | NEEDED),
    LENGTH(table_hole, "hole", hole_pm, NEEDED),
};
static const struct table_column tap_drill_columns[] = {
    TEXT(table_tap_drill, "thread", thread, KEY | NEEDED),
    TEXT(table_tap_drill, "drill", drill, NEEDED),
    LENGTH(table_tap_drill, "size", size_pm, NEEDED),
};
static const struct table_column drill_columns[] = {
    TEXT(table_drill, "name", name, KEY | NEEDED),
    LENGTH(table_drill, "diameter", diameter_pm, NEEDED),
};
static const struct table_column pin_columns[] = {
    TEXT(table_pin, "thread", thread_size, KEY | NEEDED),
    LENGTH(table_pin, "least", least_pm, NEEDED),
};
static const struct table_column pin_size_columns[] = {
    TEXT(table_pin_size, "name", name, KEY | NEEDED),
    LENGTH(table_pin_size, "hole", hole_pm, NEEDED),
    LENGTH(table_pin_size, "shank", shank_pm, NEEDED),
};
static const struct table_column nut_columns[] = {
    TEXT(table_nut, "class", class, KEY | NEEDED),
    TEXT(table_nut, "style", style, KEY | NEEDED),
    BAND(table_nut),
    NUMBER(table_nut, "proof", proof_pa, STRESS, NEEDED),
};
static const struct table_column grade_columns[] = {
    TEXT(table_grade, "name", name, KEY | NEEDED),
    TEXT(table_grade, "spellings", spellings, 0),
    TEXT(table_grade, "family", family, NEEDED),
    BAND(table_grade),
    NUMBER(table_grade, "proof", proof_pa, STRESS, 0),
    NUMBER(table_grade, "yield", yield_pa, STRESS, 0),
    NUMBER(table_grade, "tensile", tensile_pa, STRESS, NEEDED),
    TEXT(table_grade, "standing", standing, 0),
};
static const struct table_column friction_columns[] = {
    TEXT(table_friction, "lubricant", lubricant, KEY),
    TEXT(table_friction, "plating", plating, KEY),
    NUMBER(table_friction, "thread-low", thread_low, NONE, LOW),
    NUMBER(table_friction, "thread-high", thread_high, NONE, HIGH),
    NUMBER(table_friction, "face-low", face_low, NONE, LOW),
    NUMBER(table_friction, "face-high", face_high, NONE, HIGH),
    NUMBER(table_friction, "factor-low", factor_low, NONE, LOW),
    NUMBER(table_friction, "factor-high", factor_high, NONE, HIGH),
};
static const struct table_column torque_columns[] = {
    TEXT(table_torque, "thread", thread, KEY | NEEDED),
    TEXT(table_torque, "grade", grade, KEY),
    TEXT(table_torque, "use", use, KEY),
    TEXT(table_torque, "lubricant", lubricant, KEY),
    TEXT(table_torque, "plating", plating, KEY),
    TEXT(table_torque, "fastener", fastener, KEY),
    NUMBER(table_torque, "low", low_n_m, TORQUE, NEEDED | LOW),
    NUMBER(table_torque, "high", high_n_m, TORQUE, HIGH),
    NUMBER(table_torque, "most", most_n_m, TORQUE, 0),
    NUMBER(table_torque, "preload", preload_n, FORCE, 0),
    NUMBER(table_torque, "friction", friction, NONE, 0),
    TEXT(table_torque, "unit", unit, 0),
};
static const struct table_column factor_columns[] = {
    TEXT(table_factor, "table", table, KEY | NEEDED),
    TEXT(table_factor, "what", what, KEY | NEEDED),
    TEXT(table_factor, "from", from, KEY | NEEDED),
    TEXT(table_factor, "to", to, KEY | NEEDED),
    NUMBER(table_factor, "factor", factor, NONE, NEEDED),
};
static const struct table_column drag_columns[] = {
    TEXT(table_drag, "thread", thread, KEY | NEEDED),
    NUMBER(table_drag, "least", least_n_m, TORQUE, NEEDED),
    TEXT(table_drag, "unit", unit, 0),
};
static const struct table_column engagement_columns[] = {
    TEXT(table_engagement, "material", material, KEY | NEEDED),
    NUMBER(table_engagement, "low", low, NONE, NEEDED | LOW),
    NUMBER(table_engagement, "high", high, NONE, NEEDED | HIGH),
};
static const struct table_column it_columns[] = {
    TEXT(table_it_row, "grade", grade, KEY | NEEDED),
    BAND(table_it_row),
    LENGTH(table_it_row, "tolerance", tolerance_pm, NEEDED),
};
static const struct table_column deviation_columns[] = {
    TEXT(table_deviation, "letters", letters, KEY | NEEDED),
    TEXT(table_deviation, "grades", grades, KEY),
    BAND(table_deviation),
    LENGTH(table_deviation, "deviation", deviation_pm, NEEDED),
};
static const struct table_column b41_columns[] = {
    TEXT(table_b41, "class", class, KEY | NEEDED),
    BAND(table_b41),
    LENGTH(table_b41, "hole-low", hole_low_pm, LOW),
    LENGTH(table_b41, "hole-high", hole_high_pm, HIGH),
    LENGTH(table_b41, "shaft-low", shaft_low_pm, LOW),
    LENGTH(table_b41, "shaft-high", shaft_high_pm, HIGH),
    LENGTH(table_b41, "low", low_pm, LOW),
    LENGTH(table_b41, "high", high_pm, HIGH),
};
static const struct table_column bearing_columns[] = {
    TEXT(table_bearing, "designation", designation, KEY | NEEDED),
    TEXT(table_bearing, "type", type, NEEDED),
    TEXT(table_bearing, "series", series, NEEDED),
    LENGTH(table_bearing, "bore", bore_pm, NEEDED),
    LENGTH(table_bearing, "outside", outside_pm, NEEDED),
    LENGTH(table_bearing, "width", width_pm, NEEDED),
    LENGTH(table_bearing, "overall", overall_pm, 0),
    LENGTH(table_bearing, "cup", cup_pm, 0),
    TEXT(table_bearing, "iso-355", iso_355, 0),
};
static const struct table_column roller_columns[] = {
    TEXT(table_roller, "name", name, KEY | NEEDED),
    TEXT(table_roller, "type", type, KEY | NEEDED),
    LENGTH(table_roller, "diameter", diameter_pm, NEEDED),
    LENGTH(table_roller, "length", length_pm, 0),
    LENGTH(table_roller, "chamfer", chamfer_pm, 0),
};
static const struct table_column roller_grade_columns[] = {
    TEXT(table_roller_grade, "type", type, KEY | NEEDED),
    TEXT(table_roller_grade, "grade", grade, KEY | NEEDED),
    LENGTH(table_roller_grade, "roundness", roundness_pm, NEEDED),
    LENGTH(table_roller_grade, "diameter", diameter_pm, NEEDED),
    LENGTH(table_roller_grade, "lot", lot_pm, NEEDED),
    LENGTH(table_roller_grade, "roughness", roughness_pm, 0),
};
static const struct table_column oversize_columns[] = {
    TEXT(table_oversize, "of", of, KEY | NEEDED),
    LENGTH(table_oversize, "size", size_pm, KEY | NEEDED),
};
static const struct table_column life_factor_columns[] = {
    TEXT(table_life_factor, "edition", edition, KEY | NEEDED),
    NUMBER(table_life_factor, "reliability", reliability, NONE, KEY | NEEDED),
    NUMBER(table_life_factor, "factor", factor, NONE, NEEDED),
};
static const struct table_column bearing_limits_columns[] = {
    TEXT(table_bearing_limits, "type", type, KEY | NEEDED),
    TEXT(table_bearing_limits, "group", group, KEY | NEEDED),
    BAND(table_bearing_limits),
    LENGTH(table_bearing_limits, "low", low_pm, NEEDED | LOW),
    LENGTH(table_bearing_limits, "high", high_pm, NEEDED | HIGH),
};
static const struct table_column seat_columns[] = {
    TEXT(table_seat, "place", place, KEY | NEEDED), TEXT(table_seat, "type", type, KEY),
    TEXT(table_seat, "load", load, KEY | NEEDED),   BAND(table_seat),
    TEXT(table_seat, "class", class, NEEDED),
};
static const struct table_column material_columns[] = {
    TEXT(table_material, "name", name, KEY | NEEDED),
    TEXT(table_material, "spellings", spellings, 0),
    TEXT(table_material, "family", family, NEEDED),
    NUMBER(table_material, "expansion-low", expansion_low_per_k, EXPANSION, LOW),
    NUMBER(table_material, "expansion-high", expansion_high_per_k, EXPANSION, HIGH),
    NUMBER(table_material, "modulus-low", modulus_low_pa, STRESS, LOW),
    NUMBER(table_material, "modulus-high", modulus_high_pa, STRESS, HIGH),
    NUMBER(table_material, "poisson", poisson, NONE, 0),
    NUMBER(table_material, "density", density_kg_m3, DENSITY, 0),
    NUMBER(table_material, "tensile", tensile_pa, STRESS, 0),
    NUMBER(table_material, "shear", shear_pa, STRESS, 0),
};
static const struct table_column sheet_columns[] = {
    TEXT(table_sheet, "name", name, KEY | NEEDED),
    TEXT(table_sheet, "material", material, NEEDED),
    LENGTH(table_sheet, "free-low", free_low_pm, NEEDED | LOW),
    LENGTH(table_sheet, "free-high", free_high_pm, NEEDED | HIGH),
    LENGTH(table_sheet, "crushed-low", crushed_low_pm, NEEDED | LOW),
    LENGTH(table_sheet, "crushed-high", crushed_high_pm, NEEDED | HIGH),
    LENGTH(table_sheet, "bridge", bridge_pm, 0),
};
static const struct table_column rule_columns[] = {
    TEXT(table_rule, "id", id, KEY | NEEDED),
    TEXT(table_rule, "variant", variant, KEY),
    TEXT(table_rule, "text", text, NEEDED),
    TEXT(table_rule, "per", per, 0),
    NUMBER(table_rule, "low-ratio", low_ratio, NONE, LOW),
    NUMBER(table_rule, "high-ratio", high_ratio, NONE, HIGH),
    LENGTH(table_rule, "low", low_pm, LOW),
    LENGTH(table_rule, "high", high_pm, HIGH),
};
static const struct table_column ceiling_columns[] = {
    TEXT(table_ceiling, "what", what, KEY | NEEDED),
    NUMBER(table_ceiling, "most", most_c, TEMPERATURE, NEEDED),
    TEXT(table_ceiling, "where", where, KEY),
};
static const struct table_column chill_columns[] = {
    TEXT(table_chill, "what", what, KEY | NEEDED),
    TEXT(table_chill, "use", use, NEEDED),
    NUMBER(table_chill, "temperature", temperature_c, TEMPERATURE, NEEDED),
    TEXT(table_chill, "where", where, NEEDED),
};
static const struct table_column record_columns[] = {
    TEXT(table_record, "topic", topic, KEY | NEEDED),
    TEXT(table_record, "use", use, KEY | NEEDED),
    NUMBER(table_record, "number", number, NONE, KEY | NEEDED),
    TEXT(table_record, "text", text, NEEDED),
};
static const struct table_column caution_columns[] = {
    TEXT(table_caution, "id", id, KEY | NEEDED),
    TEXT(table_caution, "fact", fact, KEY | NEEDED),
    TEXT(table_caution, "value", value, KEY),
    NUMBER(table_caution, "over", over, NONE, 0),
    TEXT(table_caution, "text", text, 0),
    COLUMN(table_caution, "cover", cover, FLAG, NONE, 0),
};
static const struct table_column word_columns[] = {
    TEXT(table_word, "kind", kind, KEY | NEEDED),
    TEXT(table_word, "name", name, KEY | NEEDED),
    TEXT(table_word, "spellings", spellings, 0),
    TEXT(table_word, "note", note, 0),
};

#define ENTRY(id, name, help, columns, type)                                                       \
    [KIND_##id] = {name, help, columns, sizeof columns / sizeof *columns, sizeof(struct type)}

const struct table_kind table_kinds[KIND_COUNT] = {
    ENTRY(THREAD, "thread", "screw threads: form, diameters, stress area, tapping drill",
          thread_columns, table_thread),
    ENTRY(FORM, "form", "thread forms: angle and depths for a pitch of one", form_columns,
          table_form),
    ENTRY(HEXAGON, "hexagon", "width across flats and bearing face by thread size", hexagon_columns,
          table_hexagon),
    ENTRY(HOLE, "hole", "clearance holes by thread size", hole_columns, table_hole),
    ENTRY(TAP_DRILL, "tap-drill", "tapping drills as sold", tap_drill_columns, table_tap_drill),
    ENTRY(DRILL, "drill", "drills by number, letter and fraction", drill_columns, table_drill),
    ENTRY(PIN, "pin", "least split pin by thread size", pin_columns, table_pin),
    ENTRY(PIN_SIZE, "pin-size", "split pins by the hole they go through", pin_size_columns,
          table_pin_size),
    ENTRY(GRADE, "grade", "strength of fasteners by grade", grade_columns, table_grade),
    ENTRY(NUT, "nut", "proof stress of nuts by property class and style", nut_columns, table_nut),
    ENTRY(FRICTION, "friction", "friction of threads and faces by lubricant and plating",
          friction_columns, table_friction),
    ENTRY(TORQUE, "torque", "published torques by thread and grade, each with its condition",
          torque_columns, table_torque),
    ENTRY(FACTOR, "factor", "what carries a torque table to another condition", factor_columns,
          table_factor),
    ENTRY(DRAG, "drag", "least run-on torque of a self-locking nut used again", drag_columns,
          table_drag),
    ENTRY(ENGAGEMENT, "engagement", "engaged length over diameter by tapped material",
          engagement_columns, table_engagement),
    ENTRY(IT, "tolerance-grade", "ISO 286 standard tolerances", it_columns, table_it_row),
    ENTRY(DEVIATION, "deviation", "ISO 286 fundamental deviations", deviation_columns,
          table_deviation),
    ENTRY(B41, "inch-fit", "ANSI B4.1 inch fits", b41_columns, table_b41),
    ENTRY(BEARING, "bearing", "rolling bearings: boundary dimensions", bearing_columns,
          table_bearing),
    ENTRY(BEARING_TOLERANCE, "bearing-tolerance", "ISO 492 tolerances of bearing rings",
          bearing_limits_columns, table_bearing_limits),
    ENTRY(BEARING_CLEARANCE, "bearing-clearance", "ISO 5753-1 radial clearance groups",
          bearing_limits_columns, table_bearing_limits),
    ENTRY(ROLLER, "roller", "rollers and balls as made", roller_columns, table_roller),
    ENTRY(ROLLER_GRADE, "roller-grade", "accuracy of rollers and balls by grade",
          roller_grade_columns, table_roller_grade),
    ENTRY(OVERSIZE, "oversize", "oversizes as made", oversize_columns, table_oversize),
    ENTRY(LIFE_FACTOR, "life-factor", "share of the rated life by reliability", life_factor_columns,
          table_life_factor),
    ENTRY(SEAT, "seat", "seat classes of rolling bearings by use", seat_columns, table_seat),
    ENTRY(MATERIAL, "material", "expansion, modulus, density and strength", material_columns,
          table_material),
    ENTRY(SHEET, "sheet", "gasket sheets, free and crushed", sheet_columns, table_sheet),
    ENTRY(RULE, "rule", "shop rules: ring gap, clearances, wear", rule_columns, table_rule),
    ENTRY(CEILING, "ceiling", "highest temperatures while a part is heated", ceiling_columns,
          table_ceiling),
    ENTRY(CHILL, "chill", "how cold a part may be made, and a medium makes it", chill_columns,
          table_chill),
    ENTRY(RECORD, "record", "what laws and guides list as content of an entry", record_columns,
          table_record),
    ENTRY(CAUTION, "caution", "cautions and the facts that call for them", caution_columns,
          table_caution),
    ENTRY(WORD, "word", "lubricants, platings, locks and other words with their spellings",
          word_columns, table_word),
};

const struct table_kind *table_kind_at(size_t index)
{
    return index < KIND_COUNT ? &table_kinds[index] : NULL;
}

const struct table_kind *table_kind_find(const char *name)
{
    for (size_t i = 0; i < KIND_COUNT; i++)
        if (str_equal(table_kinds[i].name, name))
            return &table_kinds[i];
    return NULL;
}
