/* date.c - ISO 8601 calendar dates of year, month or day. */
#include "qty_private.h"
#include <string.h>

static bool is_leap(int year)
{
    return (year % 4 == 0 && year % 100 != 0) || year % 400 == 0;
}

static int days_in(int year, int month)
{
    static const int days[12] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};

    return month == 2 && is_leap(year) ? 29 : days[month - 1];
}

/* `count` digits; what follows must be '-' or the end. */
static bool read_digits(const char **at, int count, int *number)
{
    *number = 0;
    for (int i = 0; i < count; i++, (*at)++) {
        if (**at < '0' || **at > '9')
            return false;
        *number = *number * 10 + (**at - '0');
    }
    if (**at == '-' && (*at)[1] != '\0') {
        (*at)++;
        return true;
    }
    return **at == '\0';
}

bool qty_read_date(const char *text, struct qty_date *date)
{
    const char *at = text;

    *date = (struct qty_date){0};
    if (!read_digits(&at, 4, &date->year) || date->year == 0)
        return false;
    date->precision = 1;
    if (*at == '\0')
        return true;
    if (!read_digits(&at, 2, &date->month) || date->month < 1 || date->month > 12)
        return false;
    date->precision = 2;
    if (*at == '\0')
        return true;
    if (!read_digits(&at, 2, &date->day) || *at != '\0')
        return false;
    date->precision = 3;
    return date->day >= 1 && date->day <= days_in(date->year, date->month);
}

int qty_date_compare(struct qty_date a, struct qty_date b)
{
    int precision = a.precision < b.precision ? a.precision : b.precision;

    if (a.year != b.year)
        return a.year < b.year ? -1 : 1;
    if (precision >= 2 && a.month != b.month)
        return a.month < b.month ? -1 : 1;
    if (precision >= 3 && a.day != b.day)
        return a.day < b.day ? -1 : 1;
    return 0;
}
