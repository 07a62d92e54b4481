package httpd

// wishing is what people want of letters, and see of them.
func wishing() []route {
	return []route{
		{get, stopAt, anybody, (*server).stopPage},
		{post, stopAt, anybody, (*server).stopMail},
	}
}
