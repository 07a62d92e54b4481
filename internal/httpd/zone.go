package httpd

// zones are suggestions for the field of a time zone: the wide ones, from west to
// east. Any other name of the IANA database is taken as well.
func zones() []string {
	return []string{
		"Pacific/Honolulu", "America/Anchorage", "America/Los_Angeles", "America/Denver", "America/Phoenix",
		"America/Chicago", "America/Mexico_City", "America/New_York", "America/Toronto", "America/Bogota", "America/Lima",
		"America/Halifax", "America/Santiago", "America/Sao_Paulo", "America/Argentina/Buenos_Aires", "America/St_Johns",
		"Atlantic/Azores", "Atlantic/Reykjavik", "Europe/Lisbon", "Europe/London", "Europe/Dublin", "Africa/Casablanca",
		"Africa/Lagos", "Europe/Madrid", "Europe/Paris", "Europe/Brussels", "Europe/Amsterdam", "Europe/Zurich",
		"Europe/Berlin", "Europe/Rome", "Europe/Vienna", "Europe/Prague", "Europe/Copenhagen", "Europe/Oslo",
		"Europe/Stockholm", "Europe/Warsaw", "Europe/Budapest", "Europe/Athens", "Europe/Helsinki", "Europe/Bucharest",
		"Europe/Kyiv", "Africa/Cairo", "Africa/Johannesburg", "Africa/Nairobi", "Asia/Jerusalem", "Europe/Istanbul",
		"Asia/Dubai", "Asia/Karachi", "Asia/Kolkata", "Asia/Dhaka", "Asia/Bangkok", "Asia/Jakarta", "Asia/Singapore",
		"Asia/Hong_Kong", "Asia/Shanghai", "Asia/Manila", "Australia/Perth", "Asia/Seoul", "Asia/Tokyo",
		"Australia/Adelaide", "Australia/Brisbane", "Australia/Sydney", "Pacific/Auckland",
	}
}
